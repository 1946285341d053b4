using Evenwater.Core.Review;

namespace Evenwater.Nights.Months;

/// <summary>A month's rows: each planted cause with what came of it, each known one that was missed with why, each episode with its swings and its likeliest causes, each swing of noise alone. Times in hours of the month.</summary>
internal static class SwingRows
{
    public static IEnumerable<string> Of(int seed, MonthReview review, MonthReview quiet)
    {
        foreach (var one in review.Month.Planted.Where(one => one.ThreeSigmas is not null))
        {
            yield return FormattableString.Invariant($"{seed},P,{one.Kind},{one.Amount:0.###},{one.Minute / 60.0:0.00},{one.Until / 60.0:0.00},{one.ThreeSigmas / 60.0:0.00},{one.Most:0.0},found={review.Found(one)},told={one.Told},{review.Of(one)?.At / 4.0},{Ranked(review, review.Of(one))}");
        }

        foreach (var one in review.Month.Planted.Where(one => one is { ThreeSigmas: not null, Known: true }))
        {
            if (SwingMiss.Of(review, one) is { } missed) yield return $"{seed},M,{missed}";
        }

        foreach (var episode in review.Episodes) yield return FormattableString.Invariant($"{seed},E,{episode.At / 4.0},{episode.Until / 4.0},{string.Join(' ', episode.Swings.Select(Row))},{Ranked(review, episode)}");
        foreach (var swing in quiet.Swings) yield return $"{seed},N,{Row(swing)}";
    }

    private static string Row(Swing swing) => FormattableString.Invariant($"{swing.Channel}:{swing.Shape}:{swing.Span}:{swing.At / 4.0}:{swing.FoundAt / 4.0}:{swing.Size:0.00}:{swing.Sigmas:0.0}");

    private static string Ranked(MonthReview review, Episode? episode) =>
        episode is null ? "-" : string.Join('|', review.Causes(episode).Take(4).Select(one => FormattableString.Invariant($"{one.Cause}={one.Score:0.0}")));
}
