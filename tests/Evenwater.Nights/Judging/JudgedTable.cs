using Evenwater.Core.Scoring;
using Evenwater.Hardware.Trace;
using Evenwater.Scoring;

namespace Evenwater.Nights.Judging;

/// <summary>What judged nights came to, as tables that are read as they are and in a Markdown file.</summary>
internal static class JudgedTable
{
    private static readonly (string Name, Func<ScoredTrace, IReadOnlyList<Moment>> Pick)[] Events = [("brim", t => t.Brim), ("match", t => t.Match)];

    public static IEnumerable<string> Of(IReadOnlyList<ScoredTrace> nights, Targets targets, TimeSpan? cost)
    {
        var updates = nights.Sum(t => t.Outcome.Evaluations);
        return
        [
            .. Cells(nights, targets), "",
            .. Decisions(nights, targets), "",
            .. Kinds(nights), "",
            .. JudgedAround.Of(nights),
            "```", .. ScoreTable.Recognitions(nights), "", .. FalseWords(nights), "", ScoreTable.Warnings(nights), "```", "",
            $"{nights.Count} nights, {updates} updates" + (cost is { } spent ? $", {spent.TotalMilliseconds / updates:0.000} ms of processor each, with all cycles between." : "."),
        ];
    }

    private static IEnumerable<string> Cells(IReadOnlyList<ScoredTrace> nights, Targets targets)
    {
        yield return "| event | % of the way | n | loss | target | | 90 % range holds | Wilson 95 % | target | |";
        yield return "|---|---|---|---|---|---|---|---|---|---|";
        foreach (var (name, pick) in Events)
        {
            for (var i = 0; i < Moment.Percents.Count; i++)
            {
                var moments = nights.SelectMany(pick).Where(m => m.Percent == Moment.Percents[i]).ToArray();
                if (moments.Length == 0)
                {
                    continue;
                }

                var target = (name == "brim" ? targets.Brim : targets.Match)[i];
                var loss = moments.Average(m => m.Pinball);
                var held = (double)moments.Count(m => m.Covered) / moments.Length;
                yield return $"| {name} | {Moment.Percents[i]} | {moments.Length} | {loss:0.000} | {target:0.000} | {Met(loss <= target)} | {Share(moments)} "
                    + $"| {Targets.LeastCoverage:0.00}-{Targets.MostCoverage:0.00} | {Met(held is >= Targets.LeastCoverage and <= Targets.MostCoverage)} |";
            }
        }
    }

    private static IEnumerable<string> Decisions(IReadOnlyList<ScoredTrace> nights, Targets targets)
    {
        yield return "| decision | nights | of | Wilson 95 % | target | |";
        yield return "|---|---|---|---|---|---|";
        yield return Decision("closed past the mark", nights.Count(t => t.PastMark), nights.Count(t => t.Truth!.BrimSeconds is not null), Targets.PastMarkShare);
        yield return Decision("over the rim", nights.Count(t => t.OverRim), nights.Count(t => t.Truth!.SpillSeconds is not null), 0);
        yield return Decision("closed before a reachable match", nights.Count(t => t.ClosedBeforeMatch), nights.Count(t => t.Truth!.MatchReachable), targets.EarlyShare);
        var (soon, told) = (nights.Count(t => t.ToldEvenTooSoon), nights.Count(t => t.ToldEvenAt is not null));
        var (low, high) = Wilson.Interval(soon, told);
        yield return $"| told even for ten minutes before it was | {soon} | {told} | {100 * low:0.0}-{100 * high:0.0} % | none set | |";
    }

    private static string Decision(string what, int count, int of, double most)
    {
        var (low, high) = Wilson.Interval(count, of);
        return $"| {what} | {count} | {of} | {100 * low:0.0}-{100 * high:0.0} % | at most {100 * most:0.0} % | {Met(count <= most * of)} |";
    }

    private static IEnumerable<string> Kinds(IReadOnlyList<ScoredTrace> nights)
    {
        yield return "| kind | nights | brim n | loss 25/50/75 % | match n | loss 25/50/75 % | 90 % range holds | Wilson 95 % | past the mark | over the rim | closed early |";
        yield return "|---|---|---|---|---|---|---|---|---|---|---|";
        foreach (var (kind, some) in nights.GroupBy(t => t.Kind).Select(g => (g.Key, g.ToArray())).Append(("all", [.. nights])))
        {
            yield return $"| {kind} | {some.Length} | {string.Join(" | ", Events.Select(e => Losses([.. some.SelectMany(e.Pick)])))} "
                + $"| {Share([.. some.SelectMany(t => t.Brim.Concat(t.Match))])} "
                + $"| {some.Count(t => t.PastMark)} of {some.Count(t => t.Truth!.BrimSeconds is not null)} "
                + $"| {some.Count(t => t.OverRim)} of {some.Count(t => t.Truth!.SpillSeconds is not null)} "
                + $"| {some.Count(t => t.ClosedBeforeMatch)} of {some.Count(t => t.Truth!.MatchReachable)} |";
        }
    }

    private static string Losses(IReadOnlyList<Moment> moments) => $"{moments.Count(m => m.Percent == Moment.Percents[0])} | "
        + string.Join('/', Moment.Percents.Select(p => Figures.Mean(moments.Where(m => m.Percent == p).Select(m => m.Pinball)) is { } mean ? $"{mean:0.000}" : "-"));

    private static string Share(IReadOnlyCollection<Moment> moments)
    {
        var held = moments.Count(m => m.Covered);
        var (low, high) = Wilson.Interval(held, moments.Count);
        return moments.Count == 0 ? "- | -" : $"{(double)held / moments.Count:0.000} | {low:0.00}-{high:0.00}";
    }

    /// <summary>Words told although nothing of the kind had happened.</summary>
    private static IEnumerable<string> FalseWords(IReadOnlyList<ScoredTrace> nights) => EventWords.Each.Select(word =>
        $"  false {ForecastFile.Events(word),-14} {100.0 * nights.Sum(t => t.Unfounded.Count(w => w == word)) / nights.Count,6:0.0} in 100 nights");

    private static string Met(bool met) => met ? "met" : "**missed**";
}
