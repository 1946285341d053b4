using Evenwater.Core.Estimation;
using Evenwater.Core.Scoring;
using Evenwater.Core.Telling;

namespace Evenwater.Scoring;

/// <summary>What a folder of judged traces came to, as lines for people.</summary>
internal static class ScoreTable
{
    private const string All = "all";

    /// <summary>Everything, ending with what was forecast and what it cost.</summary>
    public static IEnumerable<string> Of(IReadOnlyList<ScoredTrace> traces, TimeSpan cost)
    {
        var judged = traces.Where(t => t.Truth is not null).ToArray();
        var updates = traces.Sum(t => t.Outcome.Evaluations);
        var last = $"{HowMany.Of(traces.Count, "trace")} forecast, {judged.Length} judged, {traces.Count - judged.Length} without truth. "
            + $"{HowMany.Of(updates, "update")}, {(updates == 0 ? 0 : cost.TotalMilliseconds / updates):0.000} ms of processor each, with reading and all cycles between.";
        return judged.Length == 0 ? [last] : [.. Forecasts(judged), "", .. Decisions(judged), "", .. Recognitions(judged), "", last];
    }

    /// <summary>How good the forecasts were, by kind of night and event, at 25, 50 and 75 % of the way.</summary>
    private static IEnumerable<string> Forecasts(IReadOnlyList<ScoredTrace> traces)
    {
        var width = KindWidth(traces);
        yield return "Forecasts, judged at 25/50/75 % of the way to the event";
        yield return $"{"kind".PadRight(width)}  event      n  median error, %   90 % range holds  (at most)        CRPS of ln time  pinball, ln time";
        foreach (var (kind, ofKind) in ByKind(traces))
        {
            foreach (var (name, pick) in Events)
            {
                var moments = ofKind.SelectMany(pick).ToArray();
                if (moments.Length > 0)
                {
                    yield return $"{kind.PadRight(width)}  {name,-5} {At(moments, 25).Length,6}  "
                        + $"{Three(moments, m => 100 * Figures.Quantile(m.Select(x => x.RelativeError), 0.5), "0"),-16}  "
                        + $"{Three(moments, m => Share(m, x => x.Covered), "0.00"),-16}  "
                        + $"{Three(moments, m => Wilson.Interval(m.Count(x => x.Covered), m.Length).High, "0.00"),-15}  "
                        + $"{Three(moments, m => Figures.Mean(m.Select(x => x.Crps)), "0.000"),-15}  "
                        + $"{Three(moments, m => Figures.Mean(m.Select(x => x.Pinball)), "0.000")}";
                }
            }
        }

        yield return "n: nights. at most: upper end of the 95 % Wilson interval. CRPS: of the distribution that the five quantiles leave. Beyond 48 h counts as 48 h.";
    }

    /// <summary>What the decisions to close came to.</summary>
    private static IEnumerable<string> Decisions(IReadOnlyList<ScoredTrace> traces)
    {
        var width = KindWidth(traces);
        yield return "Decisions: the first closing for safety, compared with the truth";
        yield return $"{"kind".PadRight(width)}  nights  past the mark  over the rim  closed before a reachable match";
        foreach (var (kind, ofKind) in ByKind(traces))
        {
            var reachable = ofKind.Count(t => t.Truth!.MatchReachable);
            yield return $"{kind.PadRight(width)}  {ofKind.Count,6}  {Of(ofKind.Count(t => t.PastMark), ofKind.Count(t => t.SeesMark)),13}  "
                + $"{Of(ofKind.Count(t => t.OverRim), ofKind.Count(t => t.SeesRim)),12}  {Of(ofKind.Count(t => t.ClosedBeforeMatch), reachable),11}";
        }

        yield return Warnings(traces);
        yield return $"Told even for ten minutes: {Of(traces.Count(t => t.ToldEvenTooSoon), traces.Count(t => t.ToldEvenAt is not null))} nights before they were.";
    }

    /// <summary>How long before a closing by forecast the overflow warning stood.</summary>
    public static string Warnings(IReadOnlyList<ScoredTrace> traces)
    {
        var leads = traces.Select(t => t.WarningLeadSeconds).OfType<double>().ToArray();
        return leads.Length == 0
            ? "Overflow warning: no night would have been closed by the forecast."
            : $"Overflow warning before a closing by forecast: median {Figures.Quantile(leads, 0.5) / 60:0} min, 5 % {Figures.Quantile(leads, 0.05) / 60:0} min, {HowMany.Of(leads.Length, "night")}, {leads.Count(l => l == 0)} unwarned.";
    }

    /// <summary>How soon what went wrong was recognised.</summary>
    public static IEnumerable<string> Recognitions(IReadOnlyList<ScoredTrace> traces)
    {
        yield return "Recognised, by the first fitting word after the event";
        foreach (var group in traces.SelectMany(t => t.Recognitions).GroupBy(NameOf).OrderBy(g => g.Key, StringComparer.Ordinal))
        {
            var delays = group.Select(r => r.DelaySeconds).OfType<double>().ToArray();
            yield return !group.First().HasWord
                ? $"  {group.Key,-24} {group.Count(),4}: there is no word for it"
                : $"  {group.Key,-24} {group.Count(),4}: seen {delays.Length}" + (delays.Length == 0 ? "" :
                    $", after {Figures.Quantile(delays, 0.5) / 60:0.0} min (median), {Figures.Quantile(delays, 0.9) / 60:0.0} min (90 %)");
        }

        foreach (var word in EventWords.Each)
        {
            var nights = traces.Count(t => t.Unfounded.Contains(word));
            if (nights > 0)
            {
                yield return $"  {Hardware.Trace.ForecastFile.Events(word),-24} told {HowMany.Times(traces.Sum(t => t.Unfounded.Count(w => w == word)))} in {HowMany.Of(nights, "night")} in which nothing of the kind had happened";
            }
        }
    }

    private static (string Name, Func<ScoredTrace, IEnumerable<Moment>> Pick)[] Events => [("brim", t => t.Brim), ("match", t => t.Match)];

    private static IEnumerable<(string Kind, IReadOnlyList<ScoredTrace> Traces)> ByKind(IReadOnlyList<ScoredTrace> traces)
    {
        var kinds = traces.GroupBy(t => t.Kind).OrderBy(g => g.Key, StringComparer.Ordinal).Select(g => (g.Key, (IReadOnlyList<ScoredTrace>)[.. g])).ToList();
        return kinds.Count == 1 ? kinds : kinds.Append((All, traces));
    }

    private static int KindWidth(IReadOnlyList<ScoredTrace> traces) => Math.Max(traces.Max(t => t.Kind.Length), 4);

    private static Moment[] At(IEnumerable<Moment> moments, int percent) => [.. moments.Where(m => m.Percent == percent)];

    private static string Three(Moment[] moments, Func<Moment[], double?> figure, string format) =>
        string.Join('/', Moment.Percents.Select(p => At(moments, p) is { Length: > 0 } some ? figure(some)?.ToString(format) : "-"));

    private static double Share(Moment[] moments, Func<Moment, bool> holds) => (double)moments.Count(holds) / moments.Length;

    private static string Of(int count, int possible) => $"{count} of {possible}";

    /// <summary>Of a flow's change the direction is told.</summary>
    private static string NameOf(Recognition r) => r.Happened.Kind
        + (r.Happened.Probe is { } probe ? $" {probe}" : "")
        + (EventWords.For(r.Happened) switch { ForecastEvents.FlowUp => " (up)", ForecastEvents.FlowDown => " (down)", _ => "" });
}
