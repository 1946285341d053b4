namespace Evenwater.Core.Review;

/// <summary>Finds where a course changed: its level, its slope, its restlessness.</summary>
public static class Swings
{
    /// <summary>
    /// A change from one quarter of an hour to the next must be this many of its standard deviations: some 2900 points a month, three channels and fifteen looks that overlap.
    /// Set so that tank-months of noise alone call less than once a month ('swings' of tests/Evenwater.Nights).
    /// </summary>
    public const double Sudden = 4.6;

    /// <summary>So much less for each doubling of the span, of which a month holds fewer that are independent: 3.8 over two days.</summary>
    public const double LessByDoubling = 0.1;

    private const int Least = 8; // points: two hours
    private const int Hours = 8; // points: two hours, over which a slope is looked for

    /// <summary>What was told by a line is a step where that leaves less than this share of the line's squares. Judged, not fitted.</summary>
    private const double Plainly = 0.5;

    private static readonly Look[] Looks = [.. Look.Levels, .. Look.Slopes];

    /// <summary>How many standard deviations a look's size must be.</summary>
    public static double Limit(in Look look) => Sudden - (LessByDoubling * Math.Log2(look.Span));

    /// <summary>Every change, in order of time; none while it is not known what the channel does by itself.</summary>
    public static IReadOnlyList<Swing> Of(Course course)
    {
        if (!course.KnowsItself) return [];
        Swing[] all = [.. Scan(course), .. Unrest.Of(course)];
        return [.. all.OrderBy(one => one.At)];
    }

    private static List<Swing> Scan(Course course)
    {
        var found = new List<Swing>();
        var fence = 0;
        for (var now = Least; now <= course.Count; now++)
        {
            if (Strongest(course, now, fence) is not { } first) continue;
            // It may still be growing: the strongest of the next hour tells best where it began.
            var best = first;
            for (var later = now + 1; later <= Math.Min(course.Count, now + 4); later++)
            {
                if (Strongest(course, later, fence) is { } next && next.Shape == SwingShape.Level
                    && Math.Sign(next.Size) == Math.Sign(first.Size) && Math.Abs(next.Sigmas) > Math.Abs(best.Sigmas)) best = next;
            }

            found.Add(best with { FoundAt = now });
            now = Math.Max(best.At + Math.Min(best.Span, 4), now);
            fence = course.Track.MeasuredBefore(Math.Min(now, course.Count));
            // A slope goes on: what it was shortly before it was told still serves as what was before a step right behind it.
            if (best.Shape == SwingShape.Slope) fence -= Hours;
        }

        return [.. found.Select((swing, i) => Placed(course, swing, i > 0 ? found[i - 1] : null, i + 1 < found.Count ? found[i + 1] : null))];
    }

    /// <summary>
    /// A sudden change stands where two means explain the neighbourhood best, one that grows where a level and a line do. What was told by some hours' mean was one or the other,
    /// and what came afterwards tells which, as far as nothing else was found.
    /// </summary>
    private static Swing Placed(Course course, in Swing swing, Swing? former, Swing? next)
    {
        var from = Math.Max(former is { } past ? past.At + Math.Min(past.Span, 4) : 0, swing.Shape == SwingShape.Slope || swing.Span >= Hours ? swing.At - swing.Span : swing.At - 12);
        if (next is { } on && Growth.IsOne(course, from, swing, on)) return Knee(course, from, on.FoundAt, swing);
        var (points, near) = Near(course, from, Math.Max(swing.FoundAt, Math.Min(next?.At ?? course.Count, swing.At + (swing.Span < Hours ? Math.Max(swing.Span, 2) : 2 * swing.Span))));
        var step = LevelBreak.Of(near, 1);
        var line = swing.Span >= Hours ? LineBreak.Of(near, 4) : null;
        // A large step is told by a line as well, and sooner; little of a line looks like a step.
        var least = (line?.Squares ?? 0) * (swing.Shape == SwingShape.Slope ? Plainly : 1);
        var after = line is { } grew && !(step?.BrokenSquares < least) ? (grew.After, SwingShape.Slope) : step is { } broke ? (broke.After, SwingShape.Level) : ((int After, SwingShape Shape)?)null;
        return after is { } known ? swing with { At = Math.Min(points[known.After], swing.FoundAt - 1), Shape = known.Shape } : swing;
    }

    private static Swing Knee(Course course, int from, int to, in Swing swing)
    {
        var (points, near) = Near(course, from, to);
        return LineBreak.Of(near, 4) is { } line ? swing with { At = Math.Min(points[line.After], swing.FoundAt - 1), Shape = SwingShape.Slope } : swing;
    }

    internal static (int[] Points, double[] Values) Near(Course course, int from, int to)
    {
        int[] points = [.. Enumerable.Range(Math.Max(0, from), Math.Min(to, course.Count) - Math.Max(0, from)).Where(i => course.Values[i] is not null)];
        return (points, [.. points.Select(i => course.Values[i]!.Value)]);
    }

    private static Swing? Strongest(Course course, int now, int fence)
    {
        var track = course.Track;
        Swing? best = null;
        var beyond = 1.0;
        foreach (var look in Looks)
        {
            var before = Math.Min(track.MeasuredBefore(now - look.Span) - fence, look.Before);
            if (before < look.LeastBefore) continue;
            var sd = track.Sd(look, before);
            var needed = Math.Max(beyond * Limit(look) * sd, course.LeastSize);
            if (track.Size(look, now, before, needed) is not { } size || Math.Abs(size) < needed) continue;
            beyond = Math.Abs(size) / sd / Limit(look);
            best = new(course.Channel, now - look.Span, now, look.Span, size, sd, look.Shape);
        }

        return best;
    }
}
