namespace Evenwater.Core.Stations;

/// <summary>Which channels a station has a probe for.</summary>
public static class FittedChannels
{
    /// <summary>In the order of their numbers.</summary>
    public static IReadOnlyList<Channel> Of(Station station) =>
        [.. Enumerable.Range(0, Channels.Count).Select(number => (Channel)number).Where(channel => Has(station.Sensors, channel))];

    private static bool Has(Sensors sensors, Channel channel) => channel switch
    {
        Channel.VesselConductivity or Channel.VesselTemperature => true,
        Channel.TankConductivity => sensors.TankConductivity is not null,
        Channel.TankTemperature => sensors.TankThermometer is not null,
        Channel.FloatLow => sensors.FloatLowLine is not null,
        Channel.FloatHigh => sensors.FloatHighLine is not null,
        Channel.Leak => sensors.LeakLine is not null,
        Channel.Drops => sensors.DropCounterLine is not null,
        Channel.Mass => sensors.LoadCell is not null,
        Channel.Level => sensors.Level is not null,
        Channel.TankLight => sensors.Light is not null,
        _ => throw new ArgumentOutOfRangeException(nameof(channel), channel, "no such channel"),
    };
}
