using System.Text;

namespace Evenwater.Nights.Scoring;

/// <summary>Judgements as a table for people and as CSV.</summary>
public static class Table
{
    /// <summary>Mean loss and coverage by family and event, beside the hand calculation's loss.</summary>
    public static string ByFamily(IReadOnlyList<Judgement> judged, IReadOnlyList<Judgement> byHand)
    {
        var text = new StringBuilder();
        text.AppendLine("family        event    n   loss 25/50/75 %        covered  median error   by hand");
        foreach (var group in judged.GroupBy(j => (j.Family, j.Event)).OrderBy(g => g.Key.Event).ThenBy(g => g.Key.Family, StringComparer.Ordinal))
        {
            Line(text, group.Key.Family, group.Key.Event, [.. group], [.. byHand.Where(j => (j.Family, j.Event) == group.Key)]);
        }

        foreach (var name in judged.Select(j => j.Event).Distinct().Order(StringComparer.Ordinal))
        {
            Line(text, "all", name, [.. judged.Where(j => j.Event == name)], [.. byHand.Where(j => j.Event == name)]);
        }

        Line(text, "all", "both", judged, byHand);
        return text.ToString();
    }

    public static string Csv(IReadOnlyList<Judgement> judged)
    {
        var text = new StringBuilder("night,family,event,percent,loss,covered,relative_error\n");
        foreach (var j in judged)
        {
            text.Append($"{j.Night},{j.Family},{j.Event},{j.Percent},{j.Loss:0.####},{(j.Covered ? 1 : 0)},{j.Error:0.####}\n");
        }

        return text.ToString();
    }

    public static double MeanLoss(IEnumerable<Judgement> judged) => judged.Average(j => j.Loss);

    public static double Coverage(IEnumerable<Judgement> judged) => judged.Average(j => j.Covered ? 1.0 : 0.0);

    private static void Line(StringBuilder text, string family, string name, IReadOnlyList<Judgement> judged, IReadOnlyList<Judgement> byHand)
    {
        var losses = Judge.Percents.Select(p => MeanLoss(judged.Where(j => j.Percent == p)));
        var errors = Judge.Percents.Select(p => Median(judged.Where(j => j.Percent == p).Select(j => j.Error)));
        text.AppendLine($"{family,-13} {name,-6} {judged.Count,4}   {string.Join(' ', losses.Select(l => $"{l:0.000}")),-18}     "
            + $"{Coverage(judged),4:0.00}     {string.Join(' ', errors.Select(e => $"{100 * e,3:0}")),-12} {MeanLoss(byHand),7:0.000} vs {MeanLoss(judged):0.000}");
    }

    private static double Median(IEnumerable<double> values)
    {
        var sorted = values.Order().ToArray();
        return sorted.Length == 0 ? double.NaN : sorted[sorted.Length / 2];
    }
}
