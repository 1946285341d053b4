using System.Globalization;
using Evenwater.Core.Review;

namespace Evenwater.Nights.Months;

/// <summary>Why a planted cause is not among the first three of its episode.</summary>
internal static class SwingMiss
{
    /// <summary>Its class and particulars; null where it is among them.</summary>
    public static string? Of(MonthReview review, Planted one)
    {
        var episode = review.Of(one);
        var cause = MonthReview.CauseOf(one.Kind);
        if (episode is not null && IsTold(review, episode, cause)) return null;
        var why = episode is null ? "no episode"
            : review.Episodes.Any(other => Near(other, one) && IsTold(review, other, cause)) ? "in another episode"
            : review.Weighed(episode, one) is { Evidence: [{ Weight: <= -10 }] } against ? "ruled out: " + against.Evidence[0].Text
            : "behind others";
        return string.Join(',', [one.Kind.ToString(), why, Text($"at {one.Minute / 60.0:0.0} to {one.Until / 60.0:0.0} seen {one.ThreeSigmas / 60.0:0.0} amount {one.Amount:0.###}"), Others(review, one), .. Evidence(review, episode, one)]);
    }

    private static bool IsTold(MonthReview review, Episode episode, Cause cause) => review.Causes(episode).Take(3).Any(candidate => candidate.Cause == cause);

    private static bool Near(Episode episode, Planted one) => 15 * episode.Until >= one.Minute - 30 && 15 * episode.At <= Math.Max(one.Until, one.ThreeSigmas ?? 0) + 720;

    private static string Others(MonthReview review, Planted one) => string.Join(' ', review.Month.Planted.Where(other => other != one)
        .Select(other => Text($"{other.Kind}({other.Amount:0.##})@{other.Minute / 60.0:0.0}-{other.Until / 60.0:0.0}")));

    private static IEnumerable<string> Evidence(MonthReview review, Episode? episode, Planted one)
    {
        if (episode is null) yield break;
        yield return string.Join(' ', episode.Swings.Select(swing => Text($"{swing.Channel}:{swing.Shape}:{swing.Span}:{swing.At / 4.0}:{swing.FoundAt / 4.0}:{swing.Size:0.00}:{swing.Sigmas:0.0}")));
        yield return Text($"disturbed {string.Join(' ', episode.Disturbed.Select(end => Text($"{end.Key}@{end.Value / 4.0}")))}");
        yield return string.Join(" | ", review.Weighed(episode, one).Evidence.Select(evidence => Text($"{evidence.Text} [{evidence.Weight:0.0}]")));
        yield return string.Join('|', review.Causes(episode).Take(4).Select(candidate => Text($"{candidate.Cause}={candidate.Score:0.0}")));
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
