using Evenwater.Core.Stations;

namespace Evenwater.Core.Safety;

/// <summary>What came of one part.</summary>
/// <param name="Part">Which.</param>
/// <param name="Seen">Whether the program saw it itself; otherwise a person told it.</param>
/// <param name="Passed">Whether it held.</param>
/// <param name="Why">When it did not: what was seen or told.</param>
public sealed record ProofResult(ProofPart Part, bool Seen, bool Passed, string? Why = null);

/// <summary>One proof test that was gone through to its end, or to the first part that failed.</summary>
/// <param name="At">When, by the wall.</param>
/// <param name="By">Who did it.</param>
/// <param name="Parts">What came of each part, in order; the last may have failed.</param>
public sealed record ProofRecord(DateTimeOffset At, string By, IReadOnlyList<ProofResult> Parts)
{
    /// <summary>The part that failed, or null.</summary>
    public ProofResult? Failed => Parts.FirstOrDefault(part => !part.Passed);

    /// <summary>When the next is due.</summary>
    public DateTimeOffset DueAt(Station station)
    {
        ArgumentNullException.ThrowIfNull(station);
        return At.AddDays(station.Proof.EveryDays);
    }

    /// <summary>The first fitted part that this test has not tried, because it was fitted since; or null.</summary>
    public ProofPart? Missing(Station station)
    {
        ArgumentNullException.ThrowIfNull(station);
        foreach (var part in ProofParts.Fitted(station.Sensors))
        {
            if (!Parts.Any(result => result.Part == part))
            {
                return part;
            }
        }

        return null;
    }

    /// <summary>Each part in a few words, for a log and for people.</summary>
    public override string ToString() => string.Join(", ", Parts.Select(part =>
        $"{ProofParts.Of(part.Part).Name} {(part.Passed ? part.Seen ? "seen" : "told" : $"FAILED ({part.Why})")}"));
}
