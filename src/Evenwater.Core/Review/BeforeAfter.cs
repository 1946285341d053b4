using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>
/// What a channel was before a swing, or before several that belong together, and what it then came to, in its own unit. A tank that warms by a degree every day, or a lamp, is held against what was expected at the
/// hour that it came to: the hours before would be told with the day's own course in it.
/// </summary>
/// <param name="Before">The median of the two hours before the first, with what the day brings from there to the hours of <paramref name="After"/>; what is missing just before it is passed over, up to a day.</param>
/// <param name="After">
/// The median of two hours after the one that led farthest: of what came at once those behind it, or those that it was found over where it is back within two; else the last two hours that told it.
/// </param>
/// <param name="HalfWidth">Half of each one's 95 % interval: 1.96 times what medians of so many hours scatter by the channel's own restlessness.</param>
/// <param name="PerHour">From before to after, by the hours between them; of one that came at once, by those that it was found over, and those that were not measured before it. Null of light, which is switched.</param>
/// <param name="At">The point before which the first two hours end; where the day brings more than they are known to, those of <paramref name="After"/>.</param>
/// <param name="AfterFrom">The point at which the last two hours begin.</param>
/// <param name="OfHour">Whether the day brings so much that <paramref name="Before"/> is no more what was, but what was to be expected at the hours of <paramref name="After"/>.</param>
public readonly record struct BeforeAfter(double Before, double After, double HalfWidth, double? PerHour, int At, int AfterFrom, bool OfHour = false)
{
    /// <summary>Points of each of the two: two hours.</summary>
    public const int Points = 8;

    /// <summary>Of a probe that hung in the air nothing is told by shares of nought.</summary>
    private const double LeastMicrosiemensPerCm = 0.1;

    /// <summary>Where less than this share of a swing is left of two hours, they are not what it came to. Judged, not fitted.</summary>
    private const double Back = 0.5;

    /// <summary>How far it went, as it is told: of conductivity % of what was before, else after less before.</summary>
    /// <param name="channel">Whose.</param>
    public double Change(Channel channel) => channel == Channel.TankConductivity ? 100 * ((After / Math.Max(Before, LeastMicrosiemensPerCm)) - 1) : After - Before;

    /// <summary>Of a swing; null where one of the two was not measured.</summary>
    public static BeforeAfter? Of(Course course, in Swing swing) => Of(course, [swing]);

    /// <summary>Of a channel's swings that belong together; null where one of the two was not measured.</summary>
    /// <param name="course">The channel's.</param>
    /// <param name="swings">Its own, one or more, in any order.</param>
    public static BeforeAfter? Of(Course course, IEnumerable<Swing> swings)
    {
        Swing[] ordered = [.. swings.OrderBy(swing => swing.At)];
        var (first, at) = (ordered[0].At, course.Track.MeasuredBefore(ordered[0].At));
        if (Median(course, at - Points, at, i => course.Seen[i]) is not { } before) return null;
        var salt = course.Channel == Channel.TankConductivity;
        var daysOwn = Median(course, at - Points, at, course.OfDay) ?? 0;
        BeforeAfter? farthest = null;
        foreach (var swing in ordered)
        {
            var from = swing.Slow ? Math.Max(swing.At, swing.FoundAt - Points) : swing.At;
            if (Told(from, from + Points) is not { } told) continue;
            if (!swing.Slow && swing.Shape == SwingShape.Level && swing.Span < Points && Math.Abs(Course.Scaled(course.Channel, told.After) - Course.Scaled(course.Channel, told.Before)) < Back * Math.Abs(swing.Size))
            {
                told = Told(from, from + Math.Max(1, swing.Span)) ?? told;
            }

            var hours = swing.Slow || swing.At > first ? (from - at + Points) / 4.0 : (Math.Max(1, swing.Span) + first - at) / 4.0;
            told = told with { PerHour = course.Channel == Channel.TankLight ? null : (told.After - told.Before) / hours };
            if (farthest is not { } former || Math.Abs(told.After - told.Before) > Math.Abs(former.After - former.Before)) farthest = told;
        }

        return farthest;

        BeforeAfter? Told(int from, int to)
        {
            if (Median(course, from, to, i => course.Seen[i]) is not { } after) return null;
            var halfWidth = 1.96 * course.Track.SdOfMedian(to - from);
            var brings = (Median(course, from, to, course.OfDay) ?? daysOwn) - daysOwn;
            var ofHour = Math.Abs(brings) > halfWidth;
            var was = !ofHour ? before : salt ? before * Math.Exp(brings / 100) : course.Channel == Channel.TankLight ? Math.Max(0, before + brings) : before + brings;
            return new(was, after, halfWidth * (salt ? before / 100 : 1), null, ofHour ? from + Points : at, from, ofHour);
        }
    }

    private static double? Median(Course course, int from, int to, Func<int, double?> of)
    {
        List<double> known = [];
        for (var i = Math.Max(0, from); i < Math.Min(to, course.Count); i++)
        {
            if (of(i) is { } value) known.Add(value);
        }

        return known.Count > 0 ? Spread.Median(known) : null;
    }
}
