using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>What each quarter of the local day brings by itself, by the median of the days: a step or a wild day moves it little.</summary>
public static class DailyCourse
{
    private const int HalfDay = Course.PerDay / 2;

    /// <summary>Days a quarter must have been measured on before anything is taken off it. Common practice, no source.</summary>
    public const int LeastDays = 5;

    /// <summary>The values less their daily course, and whether that is known for every quarter of the day that was measured.</summary>
    /// <param name="values">A quarter of an hour apart.</param>
    /// <param name="slots">Of each the quarter of the local day, 0 to 95.</param>
    /// <param name="onlyKnown">Leaves out what its quarter of the day does by itself is not known for; else nothing is taken off it.</param>
    internal static (double?[] Values, bool Known) Without(double?[] values, int[] slots, bool onlyKnown)
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

        double?[] profile = [.. off.Select(known => known.Count >= LeastDays ? Spread.Median(known) : (double?)null)];
        var isKnown = Enumerable.Range(0, values.Length).All(i => values[i] is null || profile[slots[i]] is not null);
        return ([.. values.Select((value, i) => value - (profile[slots[i]] ?? (onlyKnown ? null : 0)))], isKnown);
    }
}
