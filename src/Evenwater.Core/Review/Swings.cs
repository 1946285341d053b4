namespace Evenwater.Core.Review;

/// <summary>Finds where a course changed: level at spans of a quarter of an hour to a day, so a slope shows as a change over the long ones.</summary>
public static class Swings
{
    /// <summary>
    /// A change within four hours must be this many of its standard deviations: some 2900 points a month, three channels, four spans that overlap. Set so that
    /// tank-months of noise alone call less than once a month ('swings' of tests/Evenwater.Nights); normal noise without memory would call far less.
    /// </summary>
    public const double Sudden = 4.6;

    /// <summary>And one over four hours to a day, of which a month holds fewer that are independent.</summary>
    public const double Long = 4;

    private const int LongSpan = 8;

    /// <summary>How many standard deviations a change over a span must be.</summary>
    /// <param name="span">Points, one of <see cref="Course.Spans"/>.</param>
    public static double Limit(int span) => span >= LongSpan ? Long : Sudden;

    /// <summary>Every change, in order of time.</summary>
    public static IReadOnlyList<Swing> Of(Course course)
    {
        var found = new List<Swing>();
        var fence = 0;
        for (var now = 8; now <= course.Count; now++)
        {
            if (Strongest(course, now, fence) is not { } first) continue;
            // It may still be growing: the strongest of the next hour tells best where it began.
            var best = first;
            for (var later = now + 1; later <= Math.Min(course.Count, now + 4); later++)
            {
                if (Strongest(course, later, fence) is { } next && next.Span <= 16 && Math.Sign(next.Size) == Math.Sign(first.Size) && Math.Abs(next.Sigmas) > Math.Abs(best.Sigmas)) best = next;
            }

            found.Add(Placed(course, best with { FoundAt = now }));
            fence = Math.Max(best.At + Math.Min(best.Span, 4), now);
            now = Math.Max(now, fence);
        }

        return found;
    }

    /// <summary>A sudden change stands where two means explain the neighbourhood best.</summary>
    private static Swing Placed(Course course, in Swing swing)
    {
        if (swing.Span > 16) return swing;
        var (from, to) = (Math.Max(0, swing.At - 12), Math.Min(course.Count, swing.At + Math.Max(swing.Span, 2)));
        List<double> near = [];
        List<int> points = [];
        for (var i = from; i < to; i++)
        {
            if (course.Values[i] is not { } value) continue;
            near.Add(value);
            points.Add(i);
        }

        return LevelBreak.Of([.. near], 1) is { } broken ? swing with { At = points[broken.After] } : swing;
    }

    private static Swing? Strongest(Course course, int now, int fence)
    {
        Swing? best = null;
        for (var s = 0; s < Course.Spans.Count; s++)
        {
            var span = Course.Spans[s];
            var at = now - span;
            var before = Math.Min(at - fence, Course.Before(span));
            if (before < Math.Max(4, span / 2)) continue;
            if (course.Step(at, span, before) is not { } size) continue;
            var sd = course.Sds[s];
            if (Math.Abs(size) > Limit(span) * sd && (best is null || Math.Abs(size / sd) > Math.Abs(best.Value.Sigmas))) best = new(course.Channel, at, now, span, size, sd);
        }

        return best;
    }
}
