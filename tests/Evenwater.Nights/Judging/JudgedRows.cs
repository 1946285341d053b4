using Evenwater.Core.Scoring;
using Evenwater.Scoring;

namespace Evenwater.Nights.Judging;

/// <summary>Judged nights as CSV, one row for each moment, for whoever wants to look for what a table hides. Times in s, -1 for never.</summary>
internal static class JudgedRows
{
    public static IEnumerable<string> Of(IReadOnlyList<ScoredTrace> nights) =>
    [
        "kind,night,event,percent,at_s,p05_s,p25_s,p50_s,p75_s,p95_s,truth_s,loss,closed_s,match_s,brim_s",
        .. nights.SelectMany(night => night.Brim.Select(m => Row(night, "brim", m)).Concat(night.Match.Select(m => Row(night, "match", m)))),
    ];

    private static string Row(ScoredTrace night, string name, Moment m) => FormattableString.Invariant(
        $"{night.Kind},{night.Name},{name},{m.Percent},{m.Seconds},{m.Said.P05},{m.Said.P25},{m.Said.P50},{m.Said.P75},{m.Said.P95},{m.Truth},{m.Pinball},{night.ClosedAt ?? -1},{night.Truth!.MatchSeconds ?? -1},{night.Truth.BrimSeconds ?? -1}");
}
