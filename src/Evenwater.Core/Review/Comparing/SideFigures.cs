using Evenwater.Core.Standing;

namespace Evenwater.Core.Review.Comparing;

/// <summary>The figures of one side, each with its doubt.</summary>
public static class SideFigures
{
    private const int HoursOfADay = 22;
    private const int LeastDays = 3;

    /// <summary>Which figures a channel has.</summary>
    public static IReadOnlyList<Figure> Of(Channel channel) => channel == Channel.TankLight
        ? [Figure.Level, Figure.Slope, Figure.LitHours]
        : [Figure.Level, Figure.Slope, Figure.DailySwing, Figure.Restlessness];

    /// <summary>A figure with its doubt; null when the side has too little for it.</summary>
    public static Estimate? Of(Side side, Figure figure)
    {
        ArgumentNullException.ThrowIfNull(side);
        var estimate = figure is Figure.Level or Figure.Slope ? OfHours(side, figure) : OfDays(side, figure);
        return estimate?.NoSurerThan(Probe.Least(side.Channel, figure) / Math.Sqrt(2));
    }

    /// <summary>The figure alone, as quickly as can be: for looking at many dates.</summary>
    public static double? Plain(Side side, Figure figure)
    {
        ArgumentNullException.ThrowIfNull(side);
        return figure switch
        {
            Figure.Slope => OfHours(side, figure)?.Value,
            Figure.Level => Profile(side) is { } profile ? profile.Average() : null,
            _ => Daily(side, figure) is { Count: >= LeastDays } days ? days.Average(day => day.Value) : null,
        };
    }

    /// <summary>The mean of each hour of the day; null unless all 24 were measured.</summary>
    public static double[]? Profile(Side side)
    {
        ArgumentNullException.ThrowIfNull(side);
        var (sums, counts) = (new double[24], new int[24]);
        for (var i = 0; i < side.Hours.Count; i++)
        {
            if (side.Hours[i] is not { } value) continue;
            sums[side.OfDay[i]] += value;
            counts[side.OfDay[i]]++;
        }

        return counts.All(count => count > 0) ? [.. sums.Select((sum, hour) => sum / counts[hour])] : null;
    }

    /// <summary>Each hour of the day has a level of its own, so what is missing of a day shifts nothing.</summary>
    private static Estimate? OfHours(Side side, Figure figure)
    {
        List<int> known = [.. Enumerable.Range(0, side.Hours.Count).Where(i => side.Hours[i] is not null)];
        var count = side.Hours.Count;
        double[] places = [.. known.Select(i => (i + 0.5) / count)];
        var columns = Enumerable.Range(0, 24).Select(hour => known.Select(i => side.OfDay[i] == hour ? 1.0 : 0.0).ToArray()).ToList();
        if (figure == Figure.Slope) columns.Add([.. places.Select(place => (place - 0.5) * side.Days)]);
        double[] weights = figure == Figure.Level ? [.. Enumerable.Repeat(1.0 / 24, 24)] : [.. new double[24], 1.0];
        return LongRun.Of([.. known.Select(i => side.Hours[i]!.Value)], places, [.. columns], weights, LongRun.Waves(side.Days));
    }

    private static Estimate? OfDays(Side side, Figure figure)
    {
        var days = Daily(side, figure);
        return days.Count < LeastDays ? null : LongRun.Of(
            [.. days.Select(day => day.Value)], [.. days.Select(day => (day.Day + 0.5) / side.Days)], [[.. days.Select(_ => 1.0)]], [1], Math.Min(LongRun.Waves(side.Days), days.Count - 1));
    }

    private static List<(int Day, double Value)> Daily(Side side, Figure figure)
    {
        List<(int, double)> days = [];
        for (var day = 0; day < side.Days; day++)
        {
            double[] hours = [.. side.Hours.Skip(24 * day).Take(24).OfType<double>()];
            if (hours.Length < HoursOfADay) continue;
            var quarters = side.Quarters.Skip(Quarters.PerDay * day).Take(Quarters.PerDay);
            days.Add((day, figure switch
            {
                Figure.DailySwing => hours.Max() - hours.Min(),
                Figure.LitHours => Lit(quarters),
                _ => 100 * Math.Log(Math.Max(Probe.Still(side.Channel), Steps(quarters))),
            }));
        }

        return days;
    }

    /// <summary>On and off as <see cref="LightDay"/> has it; while nothing was read it is as it was, or an hour that was missed at noon would be one of darkness.</summary>
    private static double Lit(IEnumerable<double?> quarters)
    {
        var (lit, count) = (false, 0);
        foreach (var lux in quarters)
        {
            if (lux is { } read) lit = lit ? read >= LightDay.OffLux : read >= LightDay.OnLux;
            count += lit ? 1 : 0;
        }

        return count / 4.0;
    }

    private static double Steps(IEnumerable<double?> quarters)
    {
        var (sum, count, last) = (0.0, 0, (double?)null);
        foreach (var value in quarters)
        {
            if (value - last is { } step) (sum, count) = (sum + Math.Abs(step), count + 1);
            last = value;
        }

        return count > 0 ? sum / count : 0;
    }
}
