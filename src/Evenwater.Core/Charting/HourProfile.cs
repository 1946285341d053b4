using Evenwater.Core.Standing;

namespace Evenwater.Core.Charting;

/// <summary>What a channel was in one hour of the day, in its unit.</summary>
/// <param name="Hour">0 to 23, by the wall clock: a lamp on a timer keeps its hour through summer time.</param>
/// <param name="Days">How many days it rests on, 1 or more.</param>
/// <param name="Quarter">A quarter of the days were below.</param>
/// <param name="Median">The middle of the days.</param>
/// <param name="ThreeQuarters">A quarter of the days were above.</param>
public readonly record struct HourProfile(int Hour, int Days, double Quarter, double Median, double ThreeQuarters)
{
    /// <summary>Fewer days than this have no quartiles worth telling. Common practice, no source.</summary>
    public const int LeastDays = 4;

    /// <summary>Of each hour that was read at all, in order: median and quartiles (<see cref="Spread.Quantile"/>) of one value a day.</summary>
    /// <param name="hours">A line whose stretches are an hour long or a whole part of it.</param>
    /// <param name="zone">The keeper's time zone.</param>
    public static IReadOnlyList<HourProfile> Of(ChartLine hours, TimeZoneInfo zone)
    {
        var means = hours.Bins
            .Select((bin, place) => (Bin: bin, At: TimeZoneInfo.ConvertTime(hours.Axis.At(place) + (hours.Axis.Step / 2), zone)))
            .Where(one => one.Bin is not null)
            .GroupBy(one => (one.At.Date, one.At.Hour))
            .Select(group => (group.Key.Hour, Mean: group.Average(one => one.Bin!.Value.Mean)));
        return
        [
            .. means.GroupBy(one => one.Hour, one => one.Mean).OrderBy(hour => hour.Key).Select(hour => new HourProfile(
                hour.Key, hour.Count(), Spread.Quantile(hour, 0.25), Spread.Median(hour), Spread.Quantile(hour, 0.75))),
        ];
    }
}
