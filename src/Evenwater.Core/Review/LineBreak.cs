namespace Evenwater.Core.Review;

/// <summary>Where a level became a line: the knee that leaves the least squares, level and line being free (a two-phase regression, Hinkley 1969, with the first slope nought).</summary>
/// <param name="After">How many values lie before the knee.</param>
/// <param name="Squares">The sum of squares about level and line.</param>
public readonly record struct LineBreak(int After, double Squares)
{
    /// <summary>The likeliest knee; null when none leaves less than a level does.</summary>
    /// <param name="values">Finite, in order of time.</param>
    /// <param name="edge">At least this many values on either side, 2 or more.</param>
    public static LineBreak? Of(ReadOnlySpan<double> values, int edge)
    {
        var n = values.Length;
        double sum = 0, squares = 0;
        foreach (var value in values) sum += value;
        foreach (var value in values) squares += (value - (sum / n)) * (value - (sum / n));
        LineBreak? best = null;
        for (var knee = Math.Max(2, edge); knee <= n - Math.Max(2, edge); knee++)
        {
            // The regressor is 0 before the knee and 1, 2, ... behind it.
            var m = n - knee;
            var (ramp, rampSquares) = (m * (m + 1.0) / 2, m * (m + 1.0) * ((2.0 * m) + 1) / 6);
            double product = 0;
            for (var i = knee; i < n; i++) product += (i - knee + 1) * values[i];
            var (own, both) = (rampSquares - (ramp * ramp / n), product - (ramp * sum / n));
            var rest = squares - (both * both / own);
            if (rest < (best?.Squares ?? squares)) best = new(knee, rest);
        }

        return best;
    }
}
