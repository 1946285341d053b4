namespace Evenwater.Core.Estimation;

/// <summary>How a vessel keeps its volume.</summary>
public enum VesselMode
{
    /// <summary>It only fills.</summary>
    Fill,

    /// <summary>It fills to a standpipe, then overflows through it at constant volume.</summary>
    Standpipe,
}

/// <summary>A planned position of the valve.</summary>
/// <param name="AtSeconds">Seconds from the start of the run.</param>
/// <param name="Open">True to open.</param>
public readonly record struct ValveCommand(double AtSeconds, bool Open);

/// <summary>Water taken out of the vessel by hand.</summary>
/// <param name="AtSeconds">Seconds from the start of the run.</param>
/// <param name="Litres">How much, more than 0.</param>
/// <param name="RelativeSd">1-sigma of that, as a fraction.</param>
public readonly record struct DrawOff(double AtSeconds, double Litres, double RelativeSd);

/// <summary>
/// What is known about one run before its first sample. All standard deviations are 1-sigma.
/// A missing value is null, never 0.
/// </summary>
public sealed record Prior
{
    /// <summary>Fill or standpipe.</summary>
    public VesselMode Mode { get; init; }

    /// <summary>The vessel's first water, L.</summary>
    public required double StartVolumeLitres { get; init; }

    /// <summary>Its relative standard deviation (a guess by eye 0.15, a jug 0.02).</summary>
    public double StartVolumeRelativeSd { get; init; } = 0.1;

    /// <summary>Volume at which water spills, L.</summary>
    public required double BrimLitres { get; init; }

    /// <summary>Its relative standard deviation.</summary>
    public double BrimRelativeSd { get; init; } = 0.015;

    /// <summary>Margin below the brim that must never be used, L.</summary>
    public double FreeboardLitres { get; init; }

    /// <summary>Volume at the standpipe, L; null for a fill.</summary>
    public double? StandpipeLitres { get; init; }

    /// <summary>Its relative standard deviation.</summary>
    public double StandpipeRelativeSd { get; init; } = 0.02;

    /// <summary>The drip as measured by the keeper, mL/min; null when it was not measured.</summary>
    public double? FlowMillilitresPerMinute { get; init; }

    /// <summary>Its relative standard deviation.</summary>
    public double FlowRelativeSd { get; init; } = 0.1;

    /// <summary>Volume at which the low float turns wet, L; null when there is none.</summary>
    public double? FloatLowLitres { get; init; }

    /// <summary>Volume at which the high float turns wet, L; null when there is none.</summary>
    public double? FloatHighLitres { get; init; }

    /// <summary>Standard deviation of the floats' position, L.</summary>
    public double FloatSdLitres { get; init; } = 0.12;

    /// <summary>Area of the water in the vessel, m2; null when unknown.</summary>
    public double? VesselAreaSquareMetres { get; init; }

    /// <summary>A load cell's zero (the empty vessel on it) is known no better than this, kg.</summary>
    public double LoadCellTareSdKilograms { get; init; } = 0.05;

    /// <summary>What a litre of the vessel's water weighs, kg: 1 in trace files, whose masses are litres; 1.023 of sea water.</summary>
    public double KilogramsPerLitre { get; init; } = 1;

    /// <summary>A level sensor's zero is known no better than this, mm.</summary>
    public double LevelOffsetSdMillimetres { get; init; } = 3;

    /// <summary>The tank's conductivity as the keeper measured it, µS/cm at 25 °C, for a run without a probe in the tank; null when unknown.</summary>
    public double? TankMicrosiemensPerCm { get; init; }

    /// <summary>Its relative standard deviation: two instruments and a while between them.</summary>
    public double TankRelativeSd { get; init; } = 0.02;

    /// <summary>Vessel and tank are even in temperature within this, °C.</summary>
    public double TemperatureToleranceCelsius { get; init; } = 1.5;

    /// <summary>The air in the room, °C; null when unknown.</summary>
    public double? RoomCelsius { get; init; }

    /// <summary>Heat exchange of the vessel with the room, W/K; known within a factor of about 1.6.</summary>
    public double HeatExchangeWattsPerKelvin { get; init; } = 1.5;

    /// <summary>Relative standard deviation of the two conductivity probes' gain ratio (matched in one cup 0.003, unmatched 0.021).</summary>
    public double GainRatioRelativeSd { get; init; } = 0.021;

    /// <summary>Vessel and tank are even within this, µS/cm at 25 °C.</summary>
    public required double ToleranceMicrosiemensPerCm { get; init; }

    /// <summary>
    /// Where the two waters conduct nearly alike at first, the vessel is even when this share of its water is the tank's, more than 0, less than 1: 0.75 is
    /// the first water made four times as much. Common practice, no source.
    /// </summary>
    public double ReplacedFraction { get; init; } = 0.75;

    /// <summary>Step of the conductivity readings, µS/cm.</summary>
    public double QuantisationMicrosiemensPerCm { get; init; } = 0.1;

    /// <summary>Whether the valve closes when its power goes.</summary>
    public bool ValveClosesOnPowerLoss { get; init; } = true;

    /// <summary>
    /// A leak is looked for only when the valve has been closed for so long, s: between the pulses of a paced run what the last one let in still mixes, which looks the same.
    /// </summary>
    public double LeaksAfterClosedSeconds { get; init; }

    /// <summary>Planned positions of the valve, by time; otherwise it stays open.</summary>
    public IReadOnlyList<ValveCommand> ValveCommands { get; init; } = [];

    /// <summary>
    /// Planned draw-offs, by time. A plan is a promise of a person: the forecast never counts on one. What was really taken is told
    /// to the estimator when it happens.
    /// </summary>
    public IReadOnlyList<DrawOff> DrawOffs { get; init; } = [];

    /// <summary>Water lost to the air, mL/h; about 4.5 from an open bucket of 10 L (simulated nights; no bucket was measured).</summary>
    public double EvaporationMillilitresPerHour { get; init; } = 4.5;

    /// <summary>Volume of a drop, mL.</summary>
    public double DropMillilitres { get; init; } = 0.05;

    /// <summary>Its relative standard deviation.</summary>
    public double DropRelativeSd { get; init; } = 0.12;
}
