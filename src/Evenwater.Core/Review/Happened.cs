using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review;

/// <summary>What is known to have happened at a tank, beside what its probes say.</summary>
public sealed record Happened
{
    /// <summary>Water in the tank, L, more than 0.</summary>
    public required double TankLitres { get; init; }

    /// <summary>What stands in the keeper's book.</summary>
    public IReadOnlyList<Note> Notes { get; init; } = [];

    /// <summary>Runs: water dripped out of the tank.</summary>
    public IReadOnlyList<DrippedOut> Runs { get; init; } = [];

    /// <summary>Calibrations that changed what the probe is read as.</summary>
    public IReadOnlyList<CalibrationStep> Calibrations { get; init; } = [];

    /// <summary>The water that a change brings, when known: µS/cm at 25 °C.</summary>
    public double? NewMicrosiemensPerCm { get; init; }

    /// <summary>And how warm it is, °C.</summary>
    public double? NewCelsius { get; init; }

    /// <summary>The room, °C, when known: top-off water is as warm.</summary>
    public double? RoomCelsius { get; init; }
}

/// <summary>A run took water out of the tank.</summary>
/// <param name="From">When it began.</param>
/// <param name="To">When it ended.</param>
/// <param name="Litres">How much, L, 0 or more.</param>
/// <param name="Replaced">Whether fresh water took its place at once, as by an automatic top-off; else what is left conducts as before.</param>
public readonly record struct DrippedOut(DateTimeOffset From, DateTimeOffset To, double Litres, bool Replaced = true);
