namespace Evenwater.Nights.Bound;

/// <summary>How many nights each risk lets past the mark, and how many it closes early: the program's forecast beside the best.</summary>
internal static class ClosingsTable
{
    private static ReadOnlySpan<double> Risks => [0.005, 0.01, 0.02, 0.03, 0.05, 0.1, 0.2, 0.3];

    public static IEnumerable<string> Of(IReadOnlyList<Closings> nights)
    {
        var brims = nights.Count(n => n.Night.BrimSeconds is not null);
        var reachable = nights.Count(n => n.Reachable);
        yield return $"{nights.Count} nights; past the mark of {brims}, closed early of {reachable}";
        yield return "| risk that closes | forecast: past the mark | closed early | at best: past the mark | closed early |";
        yield return "|---|---|---|---|---|";
        foreach (var risk in Risks.ToArray())
        {
            yield return $"| {risk} | {Row(nights, n => Closings.At(n.Said, risk))} | {Row(nights, n => Closings.At(n.Best, risk))} |";
        }
    }

    private static string Row(IReadOnlyList<Closings> nights, Func<Closings, double> closed) =>
        $"{nights.Count(n => n.PastMark(closed(n)))} | {nights.Count(n => n.Early(closed(n)))}";
}
