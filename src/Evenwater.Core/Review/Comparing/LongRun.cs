namespace Evenwater.Core.Review.Comparing;

/// <summary>
/// Least squares of readings that remember their neighbours. How far the result errs is taken from what the readings do slowly: what is left is laid against the
/// first few cosines of the span, each of which gives the long-run variance once, so Student's t has as many degrees of freedom (the equal-weighted cosine
/// estimator; Lazarus, Lewis, Stock and Watson 2018, Journal of Business and Economic Statistics 36, 541; from memory). No model of the memory is needed; it must
/// only be short beside the shortest cosine that is used.
/// </summary>
public static class LongRun
{
    private const double Lost = 1e-8;

    /// <summary>So many half waves in a span of days: none shorter than 3.5 days, so that a memory of half a day hardly shows; 2 to 12. Our own choice, by simulation.</summary>
    public static int Waves(double days) => Math.Clamp((int)Math.Round(days * 4 / 7), 2, 12);

    /// <summary>A weighted sum of the coefficients; null when it can not be told: fewer readings than unknowns, or a column that is nothing but others.</summary>
    /// <param name="values">Finite, in order of time; what is missing is left out.</param>
    /// <param name="places">Of each value its place in the span, 0 to 1.</param>
    /// <param name="columns">What the values are explained by, each as long as they.</param>
    /// <param name="weights">Of each coefficient.</param>
    /// <param name="waves">How many cosines, 1 or more.</param>
    public static Estimate? Of(double[] values, double[] places, double[][] columns, double[] weights, int waves)
    {
        var basis = new List<double[]>();
        var upper = new double[columns.Length, columns.Length];
        for (var c = 0; c < columns.Length; c++)
        {
            if (Next(basis, columns[c], upper, c) is not { } direction) return null;
            basis.Add(direction);
        }

        // Back from the last: coefficients by R b = Q'y, and |R'^-1 w| for how the errors add up in the sum.
        var (n, value, squares) = (columns.Length, 0.0, 0.0);
        var (coefficients, solved) = (new double[n], new double[n]);
        for (var i = n - 1; i >= 0; i--)
        {
            var left = Dot(basis[i], values);
            for (var j = i + 1; j < n; j++) left -= upper[i, j] * coefficients[j];
            coefficients[i] = left / upper[i, i];
        }

        for (var i = 0; i < n; i++)
        {
            var left = weights[i];
            for (var j = 0; j < i; j++) left -= upper[j, i] * solved[j];
            solved[i] = left / upper[i, i];
            value += weights[i] * coefficients[i];
            squares += solved[i] * solved[i];
        }

        var (slow, degrees) = (0.0, 0);
        for (var wave = 1; wave <= waves && basis.Count < values.Length; wave++)
        {
            if (Next(basis, Array.ConvertAll(places, place => Math.Cos(Math.PI * wave * place)), null, 0) is not { } direction) continue;
            basis.Add(direction);
            var seen = Dot(direction, values);
            (slow, degrees) = (slow + (seen * seen), degrees + 1);
        }

        return degrees == 0 ? null : new(value, Math.Sqrt(slow / degrees * squares), degrees);
    }

    /// <summary>What of a column the others do not hold, at length 1 (Gram and Schmidt, twice: Björck, Numerical Methods for Least Squares Problems, 2.4); null when nothing is left.</summary>
    private static double[]? Next(List<double[]> basis, double[] column, double[,]? upper, int at)
    {
        double[] left = [.. column];
        var whole = Math.Sqrt(Dot(column, column));
        for (var again = 0; again < 2; again++)
        {
            for (var b = 0; b < basis.Count; b++)
            {
                var share = Dot(basis[b], left);
                if (upper is not null) upper[b, at] += share;
                for (var i = 0; i < left.Length; i++) left[i] -= share * basis[b][i];
            }
        }

        var length = Math.Sqrt(Dot(left, left));
        if (!(length > Lost * whole) || whole == 0) return null;
        if (upper is not null) upper[at, at] = length;
        for (var i = 0; i < left.Length; i++) left[i] /= length;
        return left;
    }

    private static double Dot(double[] a, double[] b)
    {
        var sum = 0.0;
        for (var i = 0; i < a.Length; i++) sum += a[i] * b[i];
        return sum;
    }
}
