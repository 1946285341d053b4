namespace Evenwater.Core.Review.Comparing;

/// <summary>Whether the course of the day changed its shape: each hour less the mean of its own day, day by day, so that what is slow falls out.</summary>
internal static class HourCourse
{
    private const int LeastDays = 3;

    /// <summary>Hours that stand out, of 24 looked at (Bonferroni); null with less than three whole days on a side.</summary>
    public static IReadOnlyList<HourChange>? Of(Side before, Side after)
    {
        if (Of(before) is not { } was || Of(after) is not { } now) return null;
        Estimate[] differences = [.. was.Zip(now, (one, other) => Estimate.Difference(one, other))];
        // Some hours that changed much move the mean of their day, and by it all the others; the middle hour stays with those that did not.
        var rest = Standing.Spread.Median(differences.Select(one => one.Value));
        List<HourChange> all = [];
        for (var hour = 0; hour < 24; hour++)
        {
            var difference = differences[hour] with { Value = differences[hour].Value - rest };
            if (24 * difference.Chance < 1 - Estimate.Confidence) all.Add(new(hour, difference));
        }

        return all;
    }

    private static Estimate[]? Of(Side side)
    {
        var hours = Enumerable.Range(0, 24).Select(_ => new List<double>()).ToArray();
        for (var day = 0; day < side.Days; day++)
        {
            var known = Enumerable.Range(24 * day, 24).Where(i => side.Hours[i] is not null).ToList();
            if (known.Count < 22) continue;
            var mean = known.Average(i => side.Hours[i]!.Value);
            foreach (var i in known) hours[side.OfDay[i]].Add(side.Hours[i]!.Value - mean);
        }

        if (hours.Any(hour => hour.Count < LeastDays)) return null;
        return [.. hours.Select(hour =>
        {
            var mean = hour.Average();
            var variance = hour.Sum(value => (value - mean) * (value - mean)) / (hour.Count - 1) / hour.Count;
            return new Estimate(mean, Math.Sqrt(variance), hour.Count - 1).NoSurerThan(Probe.Least(side.Channel) / Math.Sqrt(2));
        })];
    }
}
