using Evenwater.Core.Scoring;
using Evenwater.Running;

namespace Evenwater.Scoring;

/// <summary>One row for each trace. An empty field: it did not happen, or was not judged.</summary>
internal static class ScoreCsv
{
    /// <summary>Writes the table.</summary>
    public static void Write(TextWriter writer, IEnumerable<ScoredTrace> traces)
    {
        writer.Write("name,kind,rows,rejected,evaluations,closed_s,trip,warning_lead_s,match_s,brim_s,spill_s,past_mark,over_rim,match_reachable,closed_before_match,told_even_s,told_even_too_soon");
        foreach (var name in new[] { "brim", "match" })
        {
            foreach (var percent in Moment.Percents)
            {
                writer.Write($",{name}{percent}_error,{name}{percent}_covered,{name}{percent}_crps,{name}{percent}_pinball");
            }
        }

        writer.Write(",recognised,unfounded\n");
        foreach (var trace in traces)
        {
            Row(writer, trace);
        }
    }

    private static void Row(TextWriter writer, ScoredTrace t)
    {
        var truth = t.Truth;
        writer.Write(string.Join(
            ',',
            Text(t.Name), Text(t.Kind), t.Outcome.Rows, t.Outcome.Rejected, t.Outcome.Evaluations, Number(t.ClosedAt),
            t.ClosedAt is null ? "" : Text(Words.Of(t.Outcome.Decision.Trip)), Number(t.WarningLeadSeconds),
            Number(truth?.MatchSeconds), Number(truth?.BrimSeconds), Number(truth?.SpillSeconds),
            Fact(truth is null ? null : t.PastMark), Fact(truth is null ? null : t.OverRim), Fact(truth?.MatchReachable), Fact(truth is null ? null : t.ClosedBeforeMatch),
            Number(t.ToldEvenAt), Fact(truth is null || t.ToldEvenAt is null ? null : t.ToldEvenTooSoon)));
        foreach (var moments in new[] { t.Brim, t.Match })
        {
            foreach (var percent in Moment.Percents)
            {
                var moment = moments.Where(m => m.Percent == percent).Select(m => (Moment?)m).FirstOrDefault();
                writer.Write($",{Number(moment?.RelativeError)},{Fact(moment?.Covered)},{Number(moment?.Crps)},{Number(moment?.Pinball)}");
            }
        }

        writer.Write($",{Text(string.Join('|', t.Recognitions.Select(Told)))},{Text(string.Join('|', t.Unfounded.Select(Hardware.Trace.ForecastFile.Events)))}\n");
    }

    private static string Told(Recognition r) => $"{r.Happened.Kind} {Number(r.Happened.Seconds)} {(r.DelaySeconds is { } delay ? $"+{Number(delay)}" : "unseen")}";

    private static string Number(double? value) => value?.ToString("0.####") ?? "";

    private static string Fact(bool? fact) => fact switch { true => "1", false => "0", null => "" };

    private static string Text(string text) => text.AsSpan().ContainsAny(",\"\r\n") ? $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"" : text;
}
