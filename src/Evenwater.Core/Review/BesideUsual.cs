using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>
/// Light comes and goes every day, so what was before a swing tells nothing: of a lamp that is not put out at its hour it is the same as after. What was read is told beside what
/// is usual at those very hours.
/// </summary>
public static class BesideUsual
{
    /// <summary>Whether a channel is told so.</summary>
    public static bool Tells(Channel channel) => channel == Channel.TankLight;

    /// <summary>Of the swing that led farthest; null where that was not measured.</summary>
    internal static BeforeAfter? Of(Course course, IReadOnlyList<Swing> swings)
    {
        var end = course.Track.MeasuredBefore(swings.Min(swing => swing.At));
        if (course.Median(end - Course.PerDay, end) is not { } asEver) return null;
        BeforeAfter? farthest = null;
        foreach (var swing in swings)
        {
            List<double> read = [], usual = [];
            for (var i = swing.At; i < Math.Min(swing.At + Math.Clamp(swing.Span, 1, BeforeAfter.Points), course.Count); i++)
            {
                if (course.Seen[i] is not { } lux || course.Values[i] is not { } left) continue;
                read.Add(lux);
                usual.Add(Math.Max(0, lux - left + asEver));
            }

            if (read.Count == 0) continue;
            var told = new BeforeAfter(Spread.Median(usual), Spread.Median(read), 1.96 * course.Track.SdOfMedian(BeforeAfter.Points), null, swing.At + BeforeAfter.Points, swing.At);
            if (!(Math.Abs(told.After - told.Before) <= Math.Abs((farthest?.After - farthest?.Before) ?? -1))) farthest = told;
        }

        return farthest;
    }
}
