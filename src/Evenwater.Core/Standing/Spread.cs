namespace Evenwater.Core.Standing;

/// <summary>Middle and width of values of which a few may be wild.</summary>
public static class Spread
{
    /// <summary>Of a normal distribution the median absolute deviation times this is the standard deviation: 1 / 0.67449 (Hampel 1974; the quartile of any normal table).</summary>
    public const double NormalFactor = 1.4826;

    /// <summary>The middle value, or the mean of the two middle ones.</summary>
    /// <param name="values">One or more finite values, in any order.</param>
    public static double Median(IEnumerable<double> values) => OfSorted(Ordered(values), 0.5);

    /// <summary>The median distance from the median, in the values' unit.</summary>
    /// <param name="values">One or more finite values, in any order.</param>
    public static double MedianDeviation(IEnumerable<double> values)
    {
        var ordered = Ordered(values);
        var middle = OfSorted(ordered, 0.5);
        return Median(ordered.Select(value => Math.Abs(value - middle)));
    }

    /// <summary>The value with a share of all below it, interpolated between neighbours (Hyndman and Fan 1996, definition 7).</summary>
    /// <param name="values">One or more finite values, in any order.</param>
    /// <param name="share">0 to 1.</param>
    public static double Quantile(IEnumerable<double> values, double share) => share is >= 0 and <= 1
        ? OfSorted(Ordered(values), share)
        : throw new ArgumentOutOfRangeException(nameof(share), share, "Allowed: 0 to 1.");

    private static double[] Ordered(IEnumerable<double> values)
    {
        double[] ordered = [.. values.Order()];
        return ordered.Length > 0 && ordered.All(double.IsFinite)
            ? ordered
            : throw new ArgumentException($"{ordered.Length} values, or one that is no number. Allowed: one or more, all finite.", nameof(values));
    }

    private static double OfSorted(double[] ordered, double share)
    {
        var position = share * (ordered.Length - 1);
        var below = (int)position;
        return below + 1 < ordered.Length ? ordered[below] + ((position - below) * (ordered[below + 1] - ordered[below])) : ordered[^1];
    }
}
