using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>What each quarter of the local day brings by itself, by the median of the days: a step or a wild day moves it little.</summary>
internal static class DailyCourse
{
    private const int HalfDay = Course.PerDay / 2;

    /// <summary>Days a quarter must have been measured on before anything is taken off it. Common practice, no source.</summary>
    private const int LeastDays = 5;

    /// <summary>The values less their daily course.</summary>
    /// <param name="values">A quarter of an hour apart.</param>
    /// <param name="slots">Of each the quarter of the local day, 0 to 95.</param>
    public static double?[] Without(double?[] values, int[] slots)
    {
        List<double>[] off = [.. Enumerable.Range(0, Course.PerDay).Select(_ => new List<double>())];
        List<double> day = [];
        for (var i = HalfDay; i + HalfDay <= values.Length; i++)
        {
            if (values[i] is not { } value) continue;
            day.Clear();
            for (var j = i - HalfDay; j < i + HalfDay; j++)
            {
                if (values[j] is { } near) day.Add(near);
            }

            off[slots[i]].Add(value - day.Average());
        }

        double[] profile = [.. off.Select(known => known.Count >= LeastDays ? Spread.Median(known) : 0)];
        return [.. values.Select((value, i) => value - profile[slots[i]])];
    }
}
