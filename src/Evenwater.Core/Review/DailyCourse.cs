using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>What each quarter of the local day brings by itself, by the median of the days: a step or a wild day moves it little.</summary>
public static class DailyCourse
{
    private const int HalfDay = Course.PerDay / 2;

    /// <summary>Days a quarter must have been measured on before anything is taken off it. Common practice, no source.</summary>
    public const int LeastDays = 5;

    /// <summary>
    /// The values less their daily course, and whether that is known for every quarter of the day that was measured. Where clocks were changed meanwhile, the day is the clock's or goes on as it was, whichever
    /// leaves less: one timer is set anew with the clocks, and another, as the sun, is not; by the wrong day each morning would be news for weeks.
    /// </summary>
    /// <param name="values">A quarter of an hour apart.</param>
    /// <param name="clock">Of each the quarter of the local day, 0 to 95.</param>
    /// <param name="steady">The same of a day that no clock changes.</param>
    /// <param name="onlyKnown">Leaves out what its quarter of the day does by itself is not known for; else nothing is taken off it.</param>
    internal static (double?[] Values, bool Known) Without(double?[] values, int[] clock, int[] steady, bool onlyKnown)
    {
        var local = Without(values, clock, onlyKnown);
        var changed = clock.Zip(steady, (one, other) => (one - other + Course.PerDay) % Course.PerDay).Distinct().Skip(1).Any();
        return changed && Without(values, steady, onlyKnown) is var on && on.Left < local.Left ? (on.Values, on.Known) : (local.Values, local.Known);
    }

    private static (double?[] Values, bool Known, double Left) Without(double?[] values, int[] slots, bool onlyKnown)
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
        var left = off.Select((known, slot) => known.Sum(one => Math.Abs(one - (profile[slot] ?? 0)))).Sum();
        return ([.. values.Select((value, i) => value - (profile[slots[i]] ?? (onlyKnown ? null : 0)))], isKnown, left);
    }
}
