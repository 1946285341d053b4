using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>Between which points of a course a swing began.</summary>
/// <param name="From">Not before this one.</param>
/// <param name="To">Not after this one.</param>
public readonly record struct SwingBegin(int From, int To)
{
    private const int Around = 12;

    /// <summary>
    /// Of a sudden one the 95 % interval of the place where two means explain three hours before and what it was found by best (<see cref="LevelBreak"/>), from where it left what was before; of a slow one anything from
    /// a day before its place to where it was told, and of restlessness from as long before as it was found by: neither begins at a moment.
    /// </summary>
    public static SwingBegin Of(Course course, in Swing swing)
    {
        ArgumentNullException.ThrowIfNull(course);
        if (swing.Slow || swing.Shape == SwingShape.Unrest) return new(Math.Max(0, swing.At - (swing.Slow ? Course.PerDay : swing.Span)), Math.Clamp(swing.FoundAt, swing.At, Math.Max(swing.At, course.Count - 1)));
        List<int> points = [.. Enumerable.Range(Math.Max(0, swing.At - Around), Around + Math.Max(swing.Span, 2)).Where(i => i < course.Count && course.Values[i] is not null)];
        double[] values = [.. points.Select(i => course.Values[i]!.Value)];
        return LevelBreak.Of(values, 1) is { } broken
            ? new(Math.Min(points[Left(values, broken, course.Track.Restlessness.OfPoint)], swing.At), Math.Max(points[broken.Most], swing.At))
            : new(Math.Max(0, swing.At - 1), swing.At);
    }

    /// <summary>The break lies in the middle of what took an hour: it began where the values left what was before by more than one scatters, and no later than the interval has it.</summary>
    private static int Left(double[] values, in LevelBreak broken, double sd)
    {
        var before = Spread.Median(values.AsSpan(0, broken.After).ToArray());
        var off = broken.After;
        while (off > 0 && (values[off - 1] - before) * Math.Sign(broken.Behind - broken.Before) > sd) off--;
        return Math.Max(0, Math.Min(broken.Least, off - 1));
    }
}
