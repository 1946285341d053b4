using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;

namespace Evenwater.Running;

/// <summary>What one turn left behind, never changed afterwards: the part of a station that other threads may see.</summary>
internal sealed record Shown(Phase Phase, Readings Readings, Say Say, AlarmsShown Alarms, OpeningBudget Budget)
{
    /// <summary>What the drivers gave, neither calibrated nor screened.</summary>
    public RawSamples Raw { get; init; } = RawSamples.None();

    /// <summary>Drops counted since the program began.</summary>
    public long Drops { get; init; }

    // The generated comparison would compare inline arrays, which throws.
    public bool Equals(Shown? other) => ReferenceEquals(this, other);

    public override int GetHashCode() => 0;
}
