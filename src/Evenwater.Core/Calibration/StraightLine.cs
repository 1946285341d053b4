namespace Evenwater.Core.Calibration;

/// <summary>
/// A straight line y = intercept + slope x by ordinary least squares (any textbook; checked against the certified values of NIST's reference data). Sums are
/// taken about the means, or large readings that differ little would lose their digits.
/// </summary>
/// <param name="Count">How many points.</param>
/// <param name="Slope">Units of y for each unit of x.</param>
/// <param name="Intercept">y at x = 0.</param>
/// <param name="MeanX">Mean of the x.</param>
/// <param name="SpreadX">Sum of the squared distances of the x from their mean, above 0.</param>
/// <param name="SumSquares">Sum of the squared residuals, 0 or more.</param>
public readonly record struct StraightLine(int Count, double Slope, double Intercept, double MeanX, double SpreadX, double SumSquares)
{
    /// <summary>Fits the line.</summary>
    /// <param name="x">Two or more finite numbers that are not all the same.</param>
    /// <param name="y">As many finite numbers.</param>
    public static StraightLine Fit(ReadOnlySpan<double> x, ReadOnlySpan<double> y)
    {
        if (x.Length < 2 || x.Length != y.Length) throw new ArgumentException($"{x.Length} and {y.Length} numbers. Allowed: two or more, as many of each.", nameof(x));
        var (meanX, meanY) = (Mean(x), Mean(y));
        var (spread, together) = (0.0, 0.0);
        for (var i = 0; i < x.Length; i++)
        {
            spread += (x[i] - meanX) * (x[i] - meanX);
            together += (x[i] - meanX) * (y[i] - meanY);
        }

        if (!(spread > 0)) throw new ArgumentException("All x are the same, or one is no number. Allowed: at least two that differ.", nameof(x));
        var slope = together / spread;
        var squares = 0.0;
        for (var i = 0; i < x.Length; i++)
        {
            var off = y[i] - meanY - (slope * (x[i] - meanX));
            squares += off * off;
        }

        return new StraightLine(x.Length, slope, meanY - (slope * meanX), meanX, spread, squares);
    }

    /// <summary>The line's y at an x.</summary>
    public double At(double x) => Intercept + (Slope * x);

    /// <summary>Standard deviation of one point about the line, over n - 2 degrees of freedom; null for two points, which any line meets.</summary>
    public double? ResidualSd => Count > 2 ? Math.Sqrt(SumSquares / (Count - 2)) : null;

    /// <summary>Standard deviation of the slope when one point scatters by <paramref name="pointSd"/> in y.</summary>
    public double SlopeSd(double pointSd) => pointSd / Math.Sqrt(SpreadX);

    /// <summary>Standard deviation of the intercept when one point scatters by <paramref name="pointSd"/> in y.</summary>
    public double InterceptSd(double pointSd) => pointSd * Math.Sqrt((1.0 / Count) + (MeanX * MeanX / SpreadX));

    private static double Mean(ReadOnlySpan<double> values)
    {
        var sum = 0.0;
        foreach (var value in values) sum += value;
        return sum / values.Length;
    }
}
