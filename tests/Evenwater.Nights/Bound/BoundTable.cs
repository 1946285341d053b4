using Evenwater.Core.Scoring;

namespace Evenwater.Nights.Bound;

/// <summary>What the bound came to, beside the program's forecast, by kind.</summary>
internal static class BoundTable
{
    public static IEnumerable<string> Head() =>
    [
        "| kind | event | n | forecast loses 25/50/75 % | at best | slack (standard error) | 90 % range holds: forecast | at best |",
        "|---|---|---|---|---|---|---|---|",
    ];

    public static IEnumerable<string> Of(string kind, IReadOnlyList<BoundMoment> moments) =>
        moments.GroupBy(m => m.Event).Select(g => Line(kind, g.Key, [.. g]));

    private static string Line(string kind, string name, IReadOnlyList<BoundMoment> all)
    {
        var (said, best) = (all.Average(m => m.Said.Pinball), all.Average(m => m.Best.Pinball));

        // The three moments of one night go together.
        var nights = all.GroupBy(m => m.Seed).Select(g => g.Average(m => m.Said.Pinball - m.Best.Pinball)).ToArray();
        var mean = nights.Average();
        var error = Math.Sqrt(nights.Sum(x => (x - mean) * (x - mean)) / Math.Max(nights.Length - 1, 1) / nights.Length);
        return $"| {kind} | {name} | {nights.Length} | {Losses(all, m => m.Said)} | {Losses(all, m => m.Best)} | {said - best:0.000} of {said:0.000} ({error:0.000}) | {Held(all, m => m.Said)} | {Held(all, m => m.Best)} |";
    }

    private static string Losses(IReadOnlyList<BoundMoment> all, Func<BoundMoment, Moment> pick) =>
        string.Join('/', Moment.Percents.Select(p => all.Select(pick).Where(m => m.Percent == p).Select(m => m.Pinball).DefaultIfEmpty(double.NaN).Average().ToString("0.000")));

    private static string Held(IReadOnlyList<BoundMoment> all, Func<BoundMoment, Moment> pick)
    {
        var held = all.Select(pick).Count(m => m.Covered);
        var (low, high) = Wilson.Interval(held, all.Count);
        return $"{(double)held / all.Count:0.00} ({low:0.00}-{high:0.00})";
    }
}
