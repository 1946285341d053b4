namespace Evenwater.Core.Review;

/// <summary>How a swing came.</summary>
public enum SwingShape
{
    /// <summary>At once, to another level.</summary>
    Level,

    /// <summary>Growing from where it was.</summary>
    Slope,

    /// <summary>Neither higher nor lower, but more restless, or less.</summary>
    Unrest,
}

/// <summary>One way to hold what came after a point against what was before it.</summary>
/// <param name="Shape">A mean against the median before, or the end of a line that starts there.</param>
/// <param name="Span">Points after.</param>
/// <param name="Before">Points before, when nothing happened in them.</param>
public readonly record struct Look(SwingShape Shape, int Span, int Before)
{
    /// <summary>A level is looked for over a quarter of an hour to four; before is longer than after, since what was is known better than what has just come.</summary>
    public static IReadOnlyList<Look> Levels { get; } = [.. new[] { 1, 2, 4, 8, 16 }.Select(span => new Look(SwingShape.Level, span, Math.Clamp(4 * span, 16, Course.PerDay)))];

    /// <summary>A slope over two hours to two days.</summary>
    public static IReadOnlyList<Look> Slopes { get; } = [.. new[] { 8, 12, 16, 24, 32, 48, 72, 96, 144, 192 }.Select(span => new Look(SwingShape.Slope, span, Math.Clamp(4 * span, 48, 2 * Course.PerDay)))];

    /// <summary>Fewer points before than this tell nothing.</summary>
    public int LeastBefore => Math.Max(Shape == SwingShape.Slope ? 16 : 4, Span / 2);
}
