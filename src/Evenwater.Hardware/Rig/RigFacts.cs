using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;

namespace Evenwater.Hardware.Rig;

/// <summary>
/// What is really there on one night: the station file's expectations moved by their own standard deviations, and what no
/// station file says. The defaults without a source are assumptions of this simulation: nothing here was measured on a bucket.
/// </summary>
internal sealed record RigFacts
{
    /// <summary>The drip of a station whose file tells none.</summary>
    private const double UsualMillilitresPerMinute = 15;

    public double StartVolumeLitres { get; init; }

    public double BrimLitres { get; init; }

    public double? StandpipeLitres { get; init; }

    public double FloatLowLitres { get; init; }

    public double FloatHighLitres { get; init; }

    /// <summary>Volume at which the float in the coil's supply opens its contact, L.</summary>
    public double SeriesFloatLitres { get; init; } = double.PositiveInfinity;

    /// <summary>How deep the intake reaches, mm; null when it is as the station file says.</summary>
    public double? IntakeMillimetres { get; init; }

    public double FlowMillilitresPerMinute { get; init; }

    /// <summary>Height of the tank's water above the vessel's at the start, m.</summary>
    public double HeadMetres { get; init; } = 1;

    /// <summary>Flow goes with head to this power: 1 for a viscous restriction (Hagen and Poiseuille), 0.5 for an orifice (Torricelli).</summary>
    public double HeadExponent { get; init; } = 0.7;

    /// <summary>Steady relative change of the flow, 1/h.</summary>
    public double DriftPerHour { get; init; }

    /// <summary>Random walk of the flow's logarithm, 1/sqrt(h).</summary>
    public double WalkPerRootHour { get; init; } = 0.03;

    /// <summary>Part of the vessel that is fresh inflow, not yet mixed.</summary>
    public double PlumeFraction { get; init; } = 0.02;

    /// <summary>Part of the vessel that mixes slowly.</summary>
    public double DeadFraction { get; init; } = 0.1;

    /// <summary>Exchange time of the plume with the main zone, s.</summary>
    public double PlumeSeconds { get; init; } = 45;

    /// <summary>Exchange time of the dead zone with the main zone, s.</summary>
    public double DeadSeconds { get; init; } = 1800;

    /// <summary>How far the tank's temperature swings about its mean as its heater switches, °C.</summary>
    public double TankSwingCelsius { get; init; } = 0.05;

    public ProbeFacts VesselProbe { get; init; } = new();

    public ProbeFacts TankProbe { get; init; } = new();

    public ThermometerFacts VesselThermometer { get; init; } = new();

    public ThermometerFacts TankThermometer { get; init; } = new();

    /// <summary>Ripple of the water at the floats, L, 1-sigma.</summary>
    public double RippleLitres { get; init; } = 0.01;

    public double DropMillilitres { get; init; }

    /// <summary>What the scale reads too much when empty, kg.</summary>
    public double ScaleZeroKilograms { get; init; }

    /// <summary>White noise of one weighing, kg, 1-sigma.</summary>
    public double ScaleNoiseKilograms { get; init; } = 0.002;

    /// <summary>What the level sensor reads too high, mm.</summary>
    public double LevelZeroMillimetres { get; init; }

    /// <summary>White noise and ripple of one level, mm, 1-sigma.</summary>
    public double LevelNoiseMillimetres { get; init; } = 0.6;

    /// <summary>One night, drawn.</summary>
    public static RigFacts Draw(Station station, ref Pcg random)
    {
        var vessel = station.Vessel;
        var floats = station.Floats;
        var commonGain = 1 + (0.01 * random.NextNormal()); // a cell constant is good to about 1 %
        var ratio = 1 + (station.Probes.GainRatioSd * random.NextNormal());
        return new RigFacts
        {
            StartVolumeLitres = Near(vessel.StartVolumeLitres, vessel.StartVolumeSdLitres, ref random),
            BrimLitres = Near(vessel.BrimLitres, vessel.BrimSdLitres, ref random),
            StandpipeLitres = vessel is { Mode: VesselMode.Standpipe, StandpipeLitres: { } standpipe }
                ? Near(standpipe, vessel.StandpipeSdLitres ?? (0.02 * standpipe), ref random)
                : null,
            FloatLowLitres = Near(floats.LowLitres ?? double.PositiveInfinity, floats.PositionSdLitres, ref random),
            FloatHighLitres = Near(floats.HighLitres ?? double.PositiveInfinity, floats.PositionSdLitres, ref random),
            FlowMillilitresPerMinute = station.Drip.FlowMillilitresPerMinute is { } flow
                ? Near(flow, flow * station.Drip.FlowRelativeSd, ref random)
                : UsualMillilitresPerMinute * Math.Exp(0.4 * random.NextNormal()),
            HeadMetres = HeadOf(station, random.NextUniform(0.8, 1.4)),
            HeadExponent = random.NextUniform(0.5, 1),
            DriftPerHour = 0.015 * random.NextNormal(),
            VesselProbe = new ProbeFacts { Gain = commonGain * ratio },
            TankProbe = new ProbeFacts { Gain = commonGain },
            VesselThermometer = new ThermometerFacts { OffsetCelsius = 0.1 * random.NextNormal() },
            TankThermometer = new ThermometerFacts { OffsetCelsius = 0.1 * random.NextNormal() },
        };
    }

    /// <summary>The same night with the probes and thermometers of another.</summary>
    public RigFacts WithProbesOf(Station station, ulong seed)
    {
        var random = new Pcg(seed);
        var other = Draw(station, ref random);
        return this with { VesselProbe = other.VesselProbe, TankProbe = other.TankProbe, VesselThermometer = other.VesselThermometer, TankThermometer = other.TankThermometer };
    }

    /// <summary>The same night with the drop counter, the scale and the level sensor, drawn from a generator of their own: nights without them stay as they are.</summary>
    public RigFacts WithVolumeSensors(Station station, ref Pcg random) => this with
    {
        DropMillilitres = Near(station.Drip.DropMillilitres, station.Drip.DropMillilitres * station.Drip.DropRelativeSd, ref random),
        ScaleZeroKilograms = (station.Sensors.LoadCell?.ZeroSdKilograms ?? 0) * random.NextNormal(),
        LevelZeroMillimetres = (station.Sensors.Level?.ZeroSdMillimetres ?? 0) * random.NextNormal(),
    };

    /// <summary>
    /// The same night with a float in the coil's supply. It hangs as high as the program's high float, set by the same hand; without that one,
    /// halfway between mark and brim.
    /// </summary>
    public RigFacts WithSeriesFloat(Station station, ref Pcg random) => this with
    {
        SeriesFloatLitres = Near(
            station.Floats.HighLitres ?? (station.Vessel.BrimLitres - (station.Vessel.FreeboardLitres / 2)), station.Floats.PositionSdLitres, ref random),
    };

    /// <summary>The same night in a vessel that holds a quarter less at its rim and at every mark and float.</summary>
    public RigFacts Smaller() => this with
    {
        BrimLitres = 0.75 * BrimLitres,
        StandpipeLitres = 0.75 * StandpipeLitres,
        FloatLowLitres = 0.75 * FloatLowLitres,
        FloatHighLitres = 0.75 * FloatHighLitres,
        SeriesFloatLitres = 0.75 * SeriesFloatLitres,
    };

    /// <summary>
    /// A night as the station file expects it, to the letter: no drift, no wander, no error of anybody's. What no file says stays as on other nights: the water still
    /// mixes slowly, probes and thermometers lag, and each reading has its own small noise, without which a probe would be taken for stuck. Without a head in the file
    /// the drip is steady.
    /// </summary>
    public static RigFacts Calm(Station station) => new()
    {
        StartVolumeLitres = station.Vessel.StartVolumeLitres,
        BrimLitres = station.Vessel.BrimLitres,
        StandpipeLitres = station.Vessel.Mode == VesselMode.Standpipe ? station.Vessel.StandpipeLitres : null,
        FloatLowLitres = station.Floats.LowLitres ?? double.PositiveInfinity,
        FloatHighLitres = station.Floats.HighLitres ?? double.PositiveInfinity,
        SeriesFloatLitres = station.Floats.HighLitres ?? (station.Vessel.BrimLitres - (station.Vessel.FreeboardLitres / 2)),
        FlowMillilitresPerMinute = station.Drip.FlowMillilitresPerMinute ?? UsualMillilitresPerMinute,
        DropMillilitres = station.Drip.DropMillilitres,
        HeadMetres = HeadOf(station, 1e6),
        HeadExponent = 0.75,
        WalkPerRootHour = 0,
        TankSwingCelsius = 0,
        VesselProbe = new ProbeFacts { Wander = 0 },
        TankProbe = new ProbeFacts { Wander = 0 },
    };

    /// <summary>The same night with nothing random and nothing slow in it, for checks against closed forms.</summary>
    public RigFacts Ideal() => this with
    {
        HeadMetres = 1e6,
        DriftPerHour = 0,
        WalkPerRootHour = 0,
        PlumeFraction = 1e-4,
        DeadFraction = 0,
        TankSwingCelsius = 0,
        VesselProbe = VesselProbe with { LagSeconds = 0, Noise = 0, Wander = 0 },
        TankProbe = TankProbe with { LagSeconds = 0, Noise = 0, Wander = 0 },
        VesselThermometer = new ThermometerFacts { LagSeconds = 0, NoiseCelsius = 0 },
        TankThermometer = new ThermometerFacts { LagSeconds = 0, NoiseCelsius = 0 },
        RippleLitres = 0,
        ScaleZeroKilograms = 0,
        ScaleNoiseKilograms = 0,
        LevelZeroMillimetres = 0,
        LevelNoiseMillimetres = 0,
    };

    private static double HeadOf(Station station, double otherwise) => station.Drip.HeadMetres ?? otherwise;

    /// <summary>A positive value near the expected one; beyond 3-sigma is cut off.</summary>
    private static double Near(double expected, double sd, ref Pcg random) =>
        Math.Max(0.2 * expected, expected + (sd * Math.Clamp(random.NextNormal(), -3, 3)));
}
