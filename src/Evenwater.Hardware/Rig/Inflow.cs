using Evenwater.Core.Stations;

namespace Evenwater.Hardware.Rig;

/// <summary>
/// The drip's rate: driven by the height between the two waters, so it falls as the vessel fills and the tank sinks; drifting
/// by itself; and changed by the faults of the line.
/// </summary>
internal sealed class Inflow(Station station, RigFacts facts)
{
    private const double SurgeFactor = 3;
    private const double SuddenClogFactor = 0.12;
    private const double SlowClogHalvingSeconds = 7200;
    private const double LeakFraction = 0.2;
    private const double HeadLostMetresPerHour = 0.15;

    /// <summary>Area of the vessel's water when the station file does not say, m2: a pail of 25 cm.</summary>
    private const double UsualAreaSquareMetres = 0.049;

    private readonly double _area = station.Vessel.AreaSquareMetres ?? UsualAreaSquareMetres;
    private double _walk;

    /// <summary>Moves the random part of the flow on.</summary>
    public void Drift(double seconds, ref Pcg random) =>
        _walk += facts.WalkPerRootHour * Math.Sqrt(seconds / 3600) * random.NextNormal();

    /// <summary>The flow now, L/s.</summary>
    /// <param name="atSeconds">Seconds into the night.</param>
    /// <param name="vesselLitres">Water in the vessel.</param>
    /// <param name="tank">Where it comes from.</param>
    /// <param name="openShare">Share of the moment in which the valve is open, 0 to 1.</param>
    /// <param name="faults">What is wrong.</param>
    public double LitresPerSecond(double atSeconds, double vesselLitres, SourceTank tank, double openShare, Faults faults)
    {
        if (faults.IsOn(FaultKind.LeakingValve, atSeconds))
        {
            openShare = Math.Max(openShare, LeakFraction);
        }

        if (faults.IsOn(FaultKind.ValveStuckOpen, atSeconds))
        {
            openShare = 1;
        }

        if (openShare == 0 || !tank.IntakeIsWet)
        {
            return 0;
        }

        var rise = (vesselLitres - facts.StartVolumeLitres) / 1000 / _area;
        var lost = HeadLostMetresPerHour / 3600 * faults.SecondsOn(FaultKind.FallingHead, atSeconds);
        var head = (facts.HeadMetres - rise - tank.FallMetres - lost) / facts.HeadMetres;
        if (head <= 0)
        {
            return 0;
        }

        var factor = Math.Pow(head, facts.HeadExponent)
            * Math.Exp(_walk + (facts.DriftPerHour * atSeconds / 3600) - (Math.Log(2) * faults.SecondsOn(FaultKind.SlowClog, atSeconds) / SlowClogHalvingSeconds));
        if (faults.IsOn(FaultKind.SiphonSurge, atSeconds))
        {
            factor *= SurgeFactor;
        }

        if (faults.IsOn(FaultKind.SuddenClog, atSeconds))
        {
            factor *= SuddenClogFactor;
        }

        return facts.FlowMillilitresPerMinute / 60_000 * factor * openShare;
    }
}
