namespace Evenwater.Core.Standing;

/// <summary>A channel of the tank now, beside what was expected at this hour and beside the keeper's limits.</summary>
/// <param name="Channel">Which.</param>
/// <param name="Now">The mean of the last quarter of an hour that was measured, if that was within the hour; else null.</param>
/// <param name="LastAt">When something was last measured; null when nothing was.</param>
/// <param name="Usual">What is usual at this hour of the day; null when nothing is known of it.</param>
/// <param name="Least">The keeper's limit, or null.</param>
/// <param name="Most">The keeper's limit, or null.</param>
public sealed record ChannelStanding(Channel Channel, double? Now, DateTimeOffset? LastAt, HourBaseline? Usual, double? Least, double? Most)
{
    /// <summary>A conductivity probe comes back to its value after cleaning to about this share of it. Common practice, no source.</summary>
    public const double ConductivityShare = 0.005;

    /// <summary>A sensor of 1/16 °C, and a heater's switching. Common practice, no source.</summary>
    public const double TemperatureCelsius = 0.1;

    /// <summary>Daylight in the room comes and goes by as much. Common practice, no source.</summary>
    public const double LightLux = 50;

    private const double FreshHours = 1;

    /// <summary>Whether it is beyond a limit of the keeper's; null when that can not be told.</summary>
    public bool? BeyondLimit => Now is { } value ? value < Least || value > Most : Least is null && Most is null ? false : null;

    /// <summary>Whether it is outside what is usual at this hour; null when that can not be told.</summary>
    public bool? Unusual => Now is { } value ? Usual?.Outside(value) : null;

    internal static ChannelStanding Of(Channel channel, IReadOnlyList<Stretch> past, (double? Least, double? Most) limits, DateTimeOffset now, TimeZoneInfo zone)
    {
        var last = past.Count > 0 ? past[^1] : (Stretch?)null;
        var leastSd = channel switch
        {
            Channel.TankConductivity => Math.Max(1e-6, ConductivityShare * (past.Count > 0 ? Spread.Median(past.Select(stretch => stretch.Mean)) : 0)),
            Channel.TankTemperature => TemperatureCelsius,
            _ => LightLux,
        };
        DateTimeOffset? lastAt = last is { } known ? known.To < now ? known.To : now : null;
        return new(
            channel, last is { } fresh && (now - fresh.To).TotalHours < FreshHours ? fresh.Mean : null, lastAt,
            DayBaseline.Of(past, LocalTime.Of(now, zone).Day, zone, leastSd).At(now), limits.Least, limits.Most);
    }
}
