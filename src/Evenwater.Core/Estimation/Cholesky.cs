namespace Evenwater.Core.Estimation;

/// <summary>The square root of a covariance.</summary>
internal static class Cholesky
{
    /// <summary>
    /// Lower triangle L with L Lᵀ = <paramref name="covariance"/>. A pivot that rounding has made negative is taken as 0: that
    /// direction is known exactly, and process noise opens it again.
    /// </summary>
    public static void Factor(ReadOnlySpan<double> covariance, Span<double> lower)
    {
        const int n = State.Size;
        lower.Clear();
        for (var j = 0; j < n; j++)
        {
            var pivot = covariance[(j * n) + j];
            for (var k = 0; k < j; k++)
            {
                pivot -= lower[(j * n) + k] * lower[(j * n) + k];
            }

            if (!(pivot > 1e-12 * covariance[(j * n) + j]))
            {
                continue;
            }

            var root = Math.Sqrt(pivot);
            lower[(j * n) + j] = root;
            for (var i = j + 1; i < n; i++)
            {
                var sum = covariance[(i * n) + j];
                for (var k = 0; k < j; k++)
                {
                    sum -= lower[(i * n) + k] * lower[(j * n) + k];
                }

                lower[(i * n) + j] = sum / root;
            }
        }
    }
}
