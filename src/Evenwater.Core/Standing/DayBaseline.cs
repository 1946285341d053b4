namespace Evenwater.Core.Standing;

/// <summary>
/// What is usual in each hour of the local day, from the last days of the very same probe in the very same tank. Median and median deviation: one day with
/// the probe in a cleaning bath moves neither. Hours are those of the wall clock, so lamps on a timer keep their hour when the clocks change; an hour that a
/// day has twice counts once, one that it does not have is missing.
/// </summary>
public sealed class DayBaseline
{
    /// <summary>Looked back so far, days: four weeks, so that every weekday counts the same. Common practice, no source.</summary>
    public const int UsualDays = 28;

    /// <summary>An hour counts when at least this share of it was measured. Common practice, no source.</summary>
    public const double LeastShareOfHour = 0.5;

    private const int HoursADay = 24;
    private readonly HourBaseline?[] _hours = new HourBaseline?[HoursADay];
    private readonly TimeZoneInfo _zone;

    private DayBaseline(TimeZoneInfo zone) => _zone = zone;

    /// <summary>From stretches of the past.</summary>
    /// <param name="past">In any order; those of today (which is being judged) and those of more than <see cref="UsualDays"/> days ago are left out.</param>
    /// <param name="today">The local day that is judged.</param>
    /// <param name="zone">The keeper's time zone.</param>
    /// <param name="leastSd">What the probe itself can tell, in the channel's unit, more than 0.</param>
    public static DayBaseline Of(IEnumerable<Stretch> past, DateOnly today, TimeZoneInfo zone, double leastSd)
    {
        ArgumentNullException.ThrowIfNull(past);
        ArgumentNullException.ThrowIfNull(zone);
        if (!(leastSd > 0)) throw new ArgumentOutOfRangeException(nameof(leastSd), leastSd, "Allowed: more than 0.");
        var baseline = new DayBaseline(zone);
        var hours = past.Select(stretch => (Local: LocalTime.Of(stretch.Middle, zone), stretch))
            .Where(at => at.Local.Day < today && at.Local.Day >= today.AddDays(-UsualDays))
            .GroupBy(at => (at.Local.Day, at.Local.Hour));
        var values = hours.Where(hour => hour.Sum(at => at.stretch.Length.TotalHours) >= LeastShareOfHour)
            .Select(hour => (hour.Key.Hour, Mean: hour.Sum(at => at.stretch.Mean * at.stretch.Length.TotalHours) / hour.Sum(at => at.stretch.Length.TotalHours)));
        foreach (var hour in values.GroupBy(value => value.Hour))
        {
            baseline._hours[hour.Key] = HourBaseline.Of([.. hour.Select(value => value.Mean)], leastSd);
        }

        return baseline;
    }

    /// <summary>What is usual at that time of day; null when no day has that hour.</summary>
    public HourBaseline? At(DateTimeOffset instant) => _hours[LocalTime.Of(instant, _zone).Hour];

    /// <summary>The 24 hours, from midnight on.</summary>
    public IReadOnlyList<HourBaseline?> Hours => _hours;
}
