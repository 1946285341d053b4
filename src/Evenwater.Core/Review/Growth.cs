namespace Evenwater.Core.Review;

/// <summary>Whether two swings that follow each other are one slope, told in parts: its beginning often looks like a small step, since little of it is seen then.</summary>
internal static class Growth
{
    /// <summary>Points: half a day; what lies farther apart is not joined here.</summary>
    private const int Farthest = 48;

    /// <summary>One line may leave so many times the squares of what has more to fit with, since what is left wanders. Judged, not fitted.</summary>
    private const double Let = 1.2;

    /// <summary>
    /// A level and a line (<see cref="LineBreak"/>) explain both and what lies between them as well as a step that stays until the second one does, be that a line or a step as well.
    /// </summary>
    public static bool IsOne(Course course, int from, in Swing swing, in Swing next)
    {
        if (Math.Sign(swing.Size) != Math.Sign(next.Size) || next.At - swing.FoundAt > Farthest) return false;
        var (points, values) = Swings.Near(course, from, next.FoundAt);
        var second = next.At;
        if (LevelBreak.Of(values.AsSpan(0, points.Count(point => point < second)), 1) is not { } broken) return false;
        var first = points[broken.After];
        var step = Array.ConvertAll(points, point => point >= first ? 1.0 : 0);
        var ramp = Array.ConvertAll(points, point => Math.Max(0.0, point - second + 1));
        var further = Array.ConvertAll(points, point => point >= second ? 1.0 : 0);
        return LineBreak.Of(values, 4) is { } line && line.Squares <= Let * Math.Min(Left(values, step, ramp), Left(values, step, further));
    }

    /// <summary>The sum of squares that a level and two shapes leave (least squares by the normal equations, the means taken off).</summary>
    private static double Left(double[] values, double[] one, double[] two)
    {
        double Product(double[] a, double[] b) => a.Zip(b, (x, y) => x * y).Sum() - (a.Sum() * b.Sum() / a.Length);
        var (oneOne, oneTwo, twoTwo, ofOne, ofTwo) = (Product(one, one), Product(one, two), Product(two, two), Product(one, values), Product(two, values));
        var whole = (oneOne * twoTwo) - (oneTwo * oneTwo);
        var all = Product(values, values);
        return whole <= 1e-9 * oneOne * twoTwo ? all : all - (((ofOne * ofOne * twoTwo) - (2 * ofOne * ofTwo * oneTwo) + (ofTwo * ofTwo * oneOne)) / whole);
    }
}
