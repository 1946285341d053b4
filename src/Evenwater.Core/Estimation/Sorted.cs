namespace Evenwater.Core.Estimation;

/// <summary>Quantiles of equally likely values.</summary>
internal static class Sorted
{
    /// <summary>Sorts <paramref name="values"/> in place and reads the five quantiles, interpolating between neighbours
    /// (plotting position (i + 0.5)/n); infinite when the nearer neighbour is.</summary>
    public static Quantiles Quantiles(Span<double> values)
    {
        values.Sort();
        return new Quantiles(At(values, 0.05), At(values, 0.25), At(values, 0.5), At(values, 0.75), At(values, 0.95));
    }

    private static double At(ReadOnlySpan<double> sorted, double p)
    {
        var position = Math.Clamp((p * sorted.Length) - 0.5, 0, sorted.Length - 1);
        var i = (int)position;
        var part = position - i;
        var low = sorted[i];
        var high = sorted[Math.Min(i + 1, sorted.Length - 1)];
        return double.IsInfinity(high) ? (part < 0.5 ? low : high) : low + (part * (high - low));
    }
}
