namespace Evenwater.Nights.Bound;

/// <summary>
/// Everything the plant draws for a night that its forecast hangs on, as the plant itself names it. One that was not drawn for this kind of night has
/// the value at which it does nothing.
/// </summary>
internal sealed class Latents
{
    public double StartLitres, BrimLitres, CeilingLitres, MarkLitres;
    public double FlowMillilitresPerMinute, HeadLoss, LaminarShare, TrendPerHour, FlowWanderSd, FlowWanderSeconds, FlowWalk, ReopenSd;
    public double Vessel, Tank, TankWanderSd;
    public double SurfaceShare, FloorShare, SurfaceSeconds, FloorSeconds, StillShare, PlungeShare, TouchShare, LagSeconds;
    public double Humidity, SurfaceSquareMetres, RoomCelsius;
    public Slow VesselProbe, TankProbe;
    public double LowStickLitres, HighStickLitres, WaveLitres;
    public double CellGain, CellCreep, LevelGain, LevelCreep;
    public double EventSeconds, EventLn, EventOverSeconds;

    /// <summary>What draw-off i really took, L.</summary>
    public double[] Drawn = [];

    /// <summary>Where the vessel's probe hangs, a zone of the plant's vessel.</summary>
    public int ProbeZone;

    /// <summary>ln of what wander, walk, small jumps and the newly opened valve make of the flow, in each of the <see cref="Steps.FlowSeconds"/> long pieces.</summary>
    public double[] FlowLn = [];

    /// <summary>The wander's part of it at the end, and the rest.</summary>
    public double FlowWander, FlowRest;

    /// <summary>The tank over its own start at knots <see cref="Steps.TankSeconds"/> apart, and the wander at the start.</summary>
    public double[] TankFactor = [];

    public double TankWanderAtStart;

    /// <summary>How the ln of a probe's error wanders: sd and time constant of its wander, sd of its walk per square root hour.</summary>
    public readonly record struct Slow(double WanderSd, double WanderSeconds, double WalkSdPerRootHour);
}

/// <summary>The lengths of time the bound reckons in, s.</summary>
internal static class Steps
{
    /// <summary>A step of the water.</summary>
    public const double Seconds = 60;

    /// <summary>So many steps are one block of readings.</summary>
    public const int PerBlock = 2;

    public const double BlockSeconds = PerBlock * Seconds;

    /// <summary>So many steps have the same wander of the flow.</summary>
    public const int PerFlow = 4;

    public const double FlowSeconds = PerFlow * Seconds;

    public const int PerTank = 16;

    public const double TankSeconds = PerTank * Seconds;
}
