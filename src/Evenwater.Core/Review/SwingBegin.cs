namespace Evenwater.Core.Review;

/// <summary>Between which points of a course a swing began.</summary>
/// <param name="From">Not before this one.</param>
/// <param name="To">Not after this one.</param>
public readonly record struct SwingBegin(int From, int To)
{
    private const int Around = 12;

    /// <summary>
    /// Of a sudden one the 95 % interval of the place where two means explain three hours before and what it was found by best (<see cref="LevelBreak"/>); of a slow one anything from
    /// a day before its place to where it was told, and of restlessness from as long before as it was found by: neither begins at a moment.
    /// </summary>
    public static SwingBegin Of(Course course, in Swing swing)
    {
        ArgumentNullException.ThrowIfNull(course);
        if (swing.Slow || swing.Shape == SwingShape.Unrest) return new(Math.Max(0, swing.At - (swing.Slow ? Course.PerDay : swing.Span)), Math.Clamp(swing.FoundAt, swing.At, Math.Max(swing.At, course.Count - 1)));
        List<int> points = [.. Enumerable.Range(Math.Max(0, swing.At - Around), Around + Math.Max(swing.Span, 2)).Where(i => i < course.Count && course.Values[i] is not null)];
        return LevelBreak.Of([.. points.Select(i => course.Values[i]!.Value)], 1) is { } broken
            ? new(Math.Min(points[broken.Least], swing.At), Math.Max(points[broken.Most], swing.At))
            : new(Math.Max(0, swing.At - 1), swing.At);
    }
}
