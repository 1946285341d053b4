namespace Evenwater.Core.Review.Comparing;

/// <summary>Student's t for any degrees of freedom, whole or not.</summary>
public static class StudentCurve
{
    private const int MostTerms = 500;

    /// <summary>The probability of a value farther from 0 than this one, to about 1e-10 (Abramowitz and Stegun 26.7.1 with 26.5.27).</summary>
    /// <param name="t">Any value.</param>
    /// <param name="degrees">More than 0.</param>
    public static double Beyond(double t, double degrees)
    {
        if (!(degrees > 0)) throw new ArgumentOutOfRangeException(nameof(degrees), degrees, "Allowed: more than 0.");
        return Beta(degrees / 2, 0.5, degrees / (degrees + (t * t)));
    }

    /// <summary>The value that so much of the curve lies farther from 0 than, to about 1e-9 of itself.</summary>
    /// <param name="share">More than 0, less than 1.</param>
    /// <param name="degrees">More than 0.</param>
    public static double Point(double share, double degrees)
    {
        if (!(share is > 0 and < 1)) throw new ArgumentOutOfRangeException(nameof(share), share, "Allowed: between 0 and 1.");
        var (low, high) = (0.0, 1.0);
        while (Beyond(high, degrees) > share && high < 1e12) high *= 2;
        for (var i = 0; i < 60; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = Beyond(middle, degrees) > share ? (middle, high) : (low, middle);
        }

        return (low + high) / 2;
    }

    /// <summary>The regularised incomplete beta function, by its continued fraction (DLMF 8.17.22, evaluated after Lentz).</summary>
    private static double Beta(double a, double b, double x)
    {
        if (x <= 0) return 0;
        if (x >= 1) return 1;
        var front = Math.Exp(LogGamma(a + b) - LogGamma(a) - LogGamma(b) + (a * Math.Log(x)) + (b * Math.Log(1 - x)));
        return x < (a + 1) / (a + b + 2) ? front * Fraction(a, b, x) / a : 1 - (front * Fraction(b, a, 1 - x) / b);
    }

    private static double Fraction(double a, double b, double x)
    {
        const double Tiny = 1e-300;
        var (c, d) = (1.0, 1 / (1 - ((a + b) * x / (a + 1))));
        var all = d;
        for (var m = 1; m < MostTerms; m++)
        {
            var even = m * (b - m) * x / ((a + (2 * m) - 1) * (a + (2 * m)));
            var odd = -(a + m) * (a + b + m) * x / ((a + (2 * m)) * (a + (2 * m) + 1));
            foreach (var term in (ReadOnlySpan<double>)[even, odd])
            {
                (d, c) = (1 / Away(1 + (term * d)), Away(1 + (term / c)));
                all *= d * c;
            }

            if (Math.Abs((d * c) - 1) < 1e-15) break;
        }

        return all;

        static double Away(double value) => Math.Abs(value) < Tiny ? Tiny : value;
    }

    // Lanczos, g = 5, six terms: 2e-10 (Press et al., Numerical Recipes, 6.1; from memory, held against NIST's table of t by a test).
    private static double LogGamma(double x)
    {
        ReadOnlySpan<double> terms = [76.18009172947146, -86.50532032941677, 24.01409824083091, -1.231739572450155, 0.1208650973866179e-2, -0.5395239384953e-5];
        var (base5, series) = (x + 5.5, 1.000000000190015);
        for (var i = 0; i < terms.Length; i++) series += terms[i] / (x + 1 + i);
        return ((x + 0.5) * Math.Log(base5)) - base5 + Math.Log(2.5066282746310005 * series / x);
    }
}
