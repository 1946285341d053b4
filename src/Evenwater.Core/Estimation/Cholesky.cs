namespace Evenwater.Core.Estimation;

/// <summary>The square root of a covariance.</summary>
internal static class Cholesky
{
    /// <summary>
    /// Lower triangle L with L Lᵀ = the leading <paramref name="size"/> rows and columns of a covariance. A pivot that rounding has made
    /// negative is taken as 0: that direction is known exactly, and process noise opens it again.
    /// </summary>
    public static void Factor(ReadOnlySpan<double> covariance, int size, Span<double> lower)
    {
        lower[..(size * size)].Clear();
        for (var j = 0; j < size; j++)
        {
            var pivot = covariance[(j * State.Size) + j];
            for (var k = 0; k < j; k++)
            {
                pivot -= lower[(j * size) + k] * lower[(j * size) + k];
            }

            if (!(pivot > 1e-12 * covariance[(j * State.Size) + j]))
            {
                continue;
            }

            var root = Math.Sqrt(pivot);
            lower[(j * size) + j] = root;
            for (var i = j + 1; i < size; i++)
            {
                var sum = covariance[(i * State.Size) + j];
                for (var k = 0; k < j; k++)
                {
                    sum -= lower[(i * size) + k] * lower[(j * size) + k];
                }

                lower[(i * size) + j] = sum / root;
            }
        }
    }
}
