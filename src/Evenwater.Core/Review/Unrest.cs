namespace Evenwater.Core.Review;

/// <summary>
/// Tells when a channel's readings became more or less restless within a quarter of an hour: a weighted average of the logarithm of their spread (Crowder and Hamilton 1992,
/// Journal of Quality Technology 24) against what it was the day before; since when, by the sum's last nought (Montgomery, Introduction to Statistical Quality Control, 9.1).
/// </summary>
public static class Unrest
{
    /// <summary>
    /// Of the limits, in standard deviations of the average: some 2900 points a month and three channels. Set with those of <see cref="Swings"/> so that noise alone calls less
    /// than once a month.
    /// </summary>
    public const double Width = 5;

    private const double Weight = 0.3; // as in the handbook's example: a change within some hours

    /// <summary>A change below half as much again, or by a third, is none worth telling. Common practice, no source.</summary>
    private const double Least = 0.4;

    private const int LeastBefore = 32;

    /// <summary>What is usual is learned anew every three hours, while nothing signals.</summary>
    private const int Anew = 12;

    /// <summary>Every change from what is usual, in order of time, told once until it goes back or a day has passed; sizes are natural logarithms of after over before.</summary>
    public static IEnumerable<Swing> Of(Course course)
    {
        if (course.Unrest is not { Restlessness.IsKnown: true } track) yield break;
        Chart? chart = null;
        var told = 0; // the point at which a change was told that has not gone back yet
        for (var now = LeastBefore; now < track.Count; now++)
        {
            if (track.Values[now] is not { } value) continue;
            if (chart is null || (told == 0 && now % Anew == 0)) chart = Begun(track, now, chart) ?? chart;
            if (chart is null) continue;
            chart = chart.Value.Add(now, value);
            var average = chart.Value.Average;
            var off = Math.Abs(average.Mean - average.Target);
            if (told > 0)
            {
                if (off < average.HalfWidth / 2) told = 0;
                if (now - told >= Course.PerDay) (told, chart) = (0, null);
                continue;
            }

            if (average.Signal == 0 || off < Least) continue;
            var since = Math.Min(now, average.Signal > 0 ? chart.Value.HighSince : chart.Value.LowSince);
            var size = (track.Median(Math.Max(since, now - 1), now + 1) ?? average.Mean) - average.Target;
            told = now + 1;
            yield return new(course.Channel, since, told, told - since, size, average.HalfWidth / Width, SwingShape.Unrest);
        }
    }

    private static Chart? Begun(Track track, int now, Chart? former)
    {
        if (track.Median(Math.Max(0, now - Course.PerDay), now) is not { } usual) return null;
        // A spread that lasts from point to point makes an average of it wander farther than independent points would.
        var sd = track.Restlessness.OfPoint * Math.Sqrt(track.Restlessness.Longer(Weight));
        return former is { } on
            ? on with { Average = on.Average with { Target = usual, Sd = sd }, Sum = on.Sum with { Target = usual } }
            : new Chart(new(usual, sd, Weight, Width), new(usual, sd / 2, double.PositiveInfinity), now, now);
    }

    /// <summary>An average that signals, and a sum that tells since when.</summary>
    private readonly record struct Chart(Ewma Average, Cusum Sum, int HighSince, int LowSince)
    {
        public Chart Add(int now, double value)
        {
            var sum = Sum.Add(value);
            return new(Average.Add(value), sum, sum.High > 0 ? HighSince : now + 1, sum.Low > 0 ? LowSince : now + 1);
        }
    }
}
