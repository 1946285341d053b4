using System.Numerics;

namespace Evenwater.Core.Estimation;

/// <summary>Quantiles of equally likely values.</summary>
internal static class Sorted
{
    /// <summary>Sorts <paramref name="values"/> in place and reads the five quantiles, interpolating between neighbours
    /// (plotting position (i + 0.5)/n); infinite when the nearer neighbour is.</summary>
    public static Quantiles Quantiles<T>(Span<T> values)
        where T : INumber<T>
    {
        values.Sort();
        return new Quantiles(At<T>(values, 0.05), At<T>(values, 0.25), At<T>(values, 0.5), At<T>(values, 0.75), At<T>(values, 0.95));
    }

    private static double At<T>(ReadOnlySpan<T> sorted, double p)
        where T : INumber<T>
    {
        var position = Math.Clamp((p * sorted.Length) - 0.5, 0, sorted.Length - 1);
        var i = (int)position;
        var part = position - i;
        var low = double.CreateTruncating(sorted[i]);
        var high = double.CreateTruncating(sorted[Math.Min(i + 1, sorted.Length - 1)]);
        return double.IsInfinity(high) ? (part < 0.5 ? low : high) : low + (part * (high - low));
    }
}
