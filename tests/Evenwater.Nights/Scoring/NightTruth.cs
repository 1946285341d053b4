namespace Evenwater.Nights.Scoring;

/// <summary>Something that really happened: its kind, and by which factor or to which probe ("b" the vessel's, "t" the tank's).</summary>
public sealed record TrueEvent(double AtSeconds, string Kind, string? Probe = null, double? Factor = null);

/// <summary>The water as it really was.</summary>
public readonly record struct TrueRow(double Seconds, double Litres, double MillilitresPerMinute, double Vessel, double Tank);

/// <summary>What really happened in a night, beside the two times it is judged by.</summary>
public sealed record NightTruth
{
    public required double StartLitres { get; init; }

    public required double BrimLitres { get; init; }

    /// <summary>The brim less the freeboard, L.</summary>
    public required double MarkLitres { get; init; }

    public double? StandpipeLitres { get; init; }

    /// <summary>The inflow at the start, mL/min.</summary>
    public double StartMillilitresPerMinute { get; init; }

    /// <summary>µS/cm at the start.</summary>
    public double StartVessel { get; init; }

    /// <summary>µS/cm at the start.</summary>
    public double StartTank { get; init; }

    /// <summary>When the water reached the brim itself, s.</summary>
    public double? SpillSeconds { get; init; }

    public double EndSeconds { get; init; }

    public IReadOnlyList<TrueEvent> Events { get; init; } = [];

    /// <summary>Every 15th row; empty when the night was read from a file.</summary>
    public IReadOnlyList<TrueRow> Rows { get; init; } = [];
}
