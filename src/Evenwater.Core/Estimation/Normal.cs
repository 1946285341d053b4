namespace Evenwater.Core.Estimation;

/// <summary>The standard normal distribution.</summary>
internal static class Normal
{
    private const double Sqrt2Pi = 2.5066282746310002;

    public static double Density(double z) => Math.Exp(-0.5 * z * z) / Sqrt2Pi;

    /// <summary>
    /// Probability of less than <paramref name="z"/>. The exponent is a Chebyshev fit with relative error below 1.2e-7
    /// everywhere, so far tails stay meaningful (coefficients from memory, checked against tabulated values in the tests).
    /// </summary>
    public static double Cumulative(double z)
    {
        var x = Math.Abs(z) / Math.Sqrt(2);
        var t = 1 / (1 + (0.5 * x));
        var fit = -1.26551223 + (t * (1.00002368 + (t * (0.37409196 + (t * (0.09678418 + (t * (-0.18628806
            + (t * (0.27886807 + (t * (-1.13520398 + (t * (1.48851587 + (t * (-0.82215223 + (t * 0.17087277)))))))))))))))));
        var tail = 0.5 * t * Math.Exp((-x * x) + fit);
        return z >= 0 ? 1 - tail : tail;
    }

    /// <summary>The value with probability <paramref name="p"/> below it, 0 &lt; p &lt; 1, by Newton steps from a rational start
    /// (Abramowitz and Stegun 26.2.23).</summary>
    public static double Inverse(double p)
    {
        var tail = Math.Min(p, 1 - p);
        var t = Math.Sqrt(-2 * Math.Log(tail));
        var z = -(t - ((2.515517 + (t * (0.802853 + (t * 0.010328)))) / (1 + (t * (1.432788 + (t * (0.189269 + (t * 0.001308))))))));
        for (var i = 0; i < 2; i++)
        {
            z -= (Cumulative(z) - tail) / Density(z);
        }

        return p < 0.5 ? z : -z;
    }
}
