namespace Evenwater.Scoring;

/// <summary>Medians and other quantiles of few numbers.</summary>
internal static class Figures
{
    /// <summary>A quantile by straight lines between the sorted numbers; null of none.</summary>
    public static double? Quantile(IEnumerable<double> numbers, double level)
    {
        var sorted = numbers.Order().ToArray();
        if (sorted.Length == 0)
        {
            return null;
        }

        var place = level * (sorted.Length - 1);
        var below = (int)place;
        var above = Math.Min(below + 1, sorted.Length - 1);
        return sorted[below] + ((place - below) * (sorted[above] - sorted[below]));
    }

    /// <summary>Mean; null of none.</summary>
    public static double? Mean(IEnumerable<double> numbers)
    {
        var (sum, count) = (0.0, 0);
        foreach (var number in numbers)
        {
            (sum, count) = (sum + number, count + 1);
        }

        return count == 0 ? null : sum / count;
    }
}
