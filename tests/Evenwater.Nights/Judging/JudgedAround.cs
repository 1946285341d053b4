using Evenwater.Scoring;

namespace Evenwater.Nights.Judging;

/// <summary>
/// Whether the 90 % range held the truth before and after what happened in the night: nobody foresees a surge, and how soon the range holds again is what an estimator can do.
/// </summary>
internal static class JudgedAround
{
    /// <summary>Minutes after the event at which each span ends; what is before it comes first.</summary>
    private static readonly double[] Ends = [0, 15, 60, double.PositiveInfinity];

    /// <summary>One row for each kind of night with an event of flow or tank, by its first such event; none when there is no such night.</summary>
    public static IReadOnlyList<string> Of(IReadOnlyList<ScoredTrace> nights)
    {
        var rows = nights.Where(n => EventOf(n) is not null).GroupBy(n => n.Kind).Select(Row).ToArray();
        return rows.Length == 0 ? [] :
        [
            "| 90 % range held, moments | before it happened | within 15 min | 15 to 60 min after | later |",
            "|---|---|---|---|---|",
            .. rows,
            "",
        ];
    }

    private static string Row(IGrouping<string, ScoredTrace> kind)
    {
        var minutes = kind.SelectMany(n => n.Brim.Concat(n.Match).Select(m => (After: (m.Seconds - EventOf(n)!.Seconds) / 60, m.Covered))).ToArray();
        return $"| {kind.Key} | {string.Join(" | ", Ends.Select((end, i) => Held([.. minutes.Where(m => m.After < end && (i == 0 || m.After >= Ends[i - 1]))])))} |";
    }

    private static string Held(IReadOnlyCollection<(double After, bool Covered)> moments) =>
        moments.Count == 0 ? "-" : $"{moments.Count(m => m.Covered)} of {moments.Count} ({(double)moments.Count(m => m.Covered) / moments.Count:0.00})";

    private static TruthEvent? EventOf(ScoredTrace night) =>
        night.Truth!.Events.FirstOrDefault(e => e.Kind is "flow_jump" or "slow_clog" or "tank_change");
}
