using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>
/// What a tank does day after day: water evaporates and its salt stays, so conductivity rises all the time until somebody fills it up. The middle of the differences from one
/// day's median to the next one's when they are alike, else as much as two of three days did at least: a top-off or a water change moves that little, and what has gone on for
/// a week of a month is not usual yet.
/// </summary>
public static class UsualSlope
{
    private const double Alike = 0.7;

    /// <summary>In the values' unit a day; 0 without a usual one, and while fewer than five days can be held against the one before. Common practice, no source.</summary>
    /// <param name="values">A quarter of an hour apart.</param>
    internal static double Of(double?[] values)
    {
        var first = Math.Max(0, Array.FindIndex(values, value => value is not null));
        List<double?> days = [];
        for (var day = first; day + Course.PerDay <= values.Length; day += Course.PerDay)
        {
            double[] known = [.. values.AsSpan(day, Course.PerDay).ToArray().OfType<double>()];
            days.Add(2 * known.Length > Course.PerDay ? Spread.Median(known) : null);
        }

        double[] differences = Unfilled([.. days.Zip(days.Skip(1), (one, next) => next - one).OfType<double>()]);
        if (differences.Length < DailyCourse.LeastDays) return 0;
        var middle = Spread.Median(differences);
        var least = Spread.Quantile(differences, middle > 0 ? 1.0 / 3 : 2.0 / 3);
        return (least / middle) switch { >= Alike => middle, > 0 => least, _ => 0 };
    }

    /// <summary>A day on which it was filled up goes back by more than a day brings, and by more than days differ: it says nothing of what the others do.</summary>
    private static double[] Unfilled(double[] differences)
    {
        if (differences.Length == 0) return [];
        var (middle, differ) = (Spread.Median(differences), 4 * Spread.NormalFactor * Spread.MedianDeviation(differences));
        return [.. differences.Where(one => Math.Sign(one) != -Math.Sign(middle) || Math.Abs(one) < Math.Abs(middle) || Math.Abs(one - middle) <= differ)];
    }

    /// <summary>The values without it.</summary>
    internal static double?[] Without(double?[] values, double perDay) => [.. values.Select((value, i) => value - (perDay * i / Course.PerDay))];
}
