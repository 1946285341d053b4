using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>What a channel was before a swing and after it, in its own unit.</summary>
/// <param name="Before">The median of the two hours before it.</param>
/// <param name="After">The median of as many points after it as it was found by, two hours at the most.</param>
/// <param name="HalfWidth">Half of each one's 95 % interval: 1.96 times its spread, taken from the channel's restlessness between two such medians.</param>
/// <param name="PerHour">From before to after, by the hours between them.</param>
public readonly record struct BeforeAfter(double Before, double After, double HalfWidth, double PerHour)
{
    private const int Points = 8;

    /// <summary>Of a swing; null where one of the two was not measured.</summary>
    public static BeforeAfter? Of(Course course, in Swing swing)
    {
        var after = swing.Slow ? swing.FoundAt - Points : swing.At;
        var (was, now) = (Seen(course, swing.At - Points, swing.At), Seen(course, after, Math.Min(after + Points, course.Count)));
        if (was is not { } before || now is not { } behind) return null;
        // Two medians of two hours that err alike differ by √2 times what one errs.
        var spread = course.Sd(Points) / Math.Sqrt(2) * (course.Channel == Channel.TankConductivity ? before / 100 : 1);
        var hours = swing.Slow ? (after - swing.At + Points) / 4.0 : Math.Max(1, swing.Span) / 4.0;
        return new(before, behind, 1.96 * spread, (behind - before) / hours);
    }

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
