using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>What a channel was before a swing, or before several that belong together, and what it then came to, in its own unit.</summary>
/// <param name="Before">The median of the two hours before the first; what is missing just before it is passed over, up to a day. Of light what is usual at the hours of what came (<see cref="BesideUsual"/>).</param>
/// <param name="After">The median of two hours after the one that led farthest: of what came at once those behind it, else the last two hours that told it.</param>
/// <param name="HalfWidth">Half of each one's 95 % interval: 1.96 times what two hours' medians scatter by the channel's own restlessness.</param>
/// <param name="PerHour">From before to after, by the hours between them; of one that came at once, by those that it was found over, and those that were not measured before it; null of light.</param>
/// <param name="At">The point before which the hours end that <paramref name="Before"/> is of.</param>
/// <param name="AfterFrom">The point at which the last two hours begin.</param>
public readonly record struct BeforeAfter(double Before, double After, double HalfWidth, double? PerHour, int At, int AfterFrom)
{
    /// <summary>Points of each of the two: two hours.</summary>
    public const int Points = 8;

    /// <summary>Of a probe that hung in the air nothing is told by shares of nought.</summary>
    private const double LeastMicrosiemensPerCm = 0.1;

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
        if (BesideUsual.Tells(course.Channel)) return BesideUsual.Of(course, ordered);
        var (first, at) = (ordered[0].At, course.Track.MeasuredBefore(ordered[0].At));
        if (Seen(course, at - Points, at) is not { } before) return null;
        var farthest = ordered.Select(swing => (Swing: swing, After: Seen(course, From(swing), Math.Min(From(swing) + Points, course.Count)))).Where(one => one.After is not null)
            .OrderByDescending(one => Math.Abs(one.After!.Value - before)).Select(one => ((Swing Swing, double? After)?)one).FirstOrDefault();
        if (farthest is not { Swing: var last, After: { } behind }) return null;
        var spread = course.Track.SdOfMedian(Points) * (course.Channel == Channel.TankConductivity ? before / 100 : 1);
        var hours = last.Slow || last.At > first ? (From(last) - at + Points) / 4.0 : (Math.Max(1, last.Span) + first - at) / 4.0;
        return new(before, behind, 1.96 * spread, (behind - before) / hours, at, From(last));
    }

    private static int From(in Swing swing) => swing.Slow ? Math.Max(swing.At, swing.FoundAt - Points) : swing.At;

    private static double? Seen(Course course, int from, int to)
    {
        List<double> known = [];
        for (var i = Math.Max(0, from); i < to; i++)
        {
            if (course.Seen[i] is { } value) known.Add(value);
        }

        return known.Count > 0 ? Spread.Median(known) : null;
    }
}
