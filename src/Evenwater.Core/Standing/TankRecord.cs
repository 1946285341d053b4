using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Standing;

/// <summary>How a tank is, against itself and by its book: what 'evenwater tank' shows.</summary>
public sealed record TankRecord
{
    /// <summary>The station.</summary>
    public required Station Station { get; init; }

    /// <summary>When.</summary>
    public required DateTimeOffset Now { get; init; }

    /// <summary>Each channel of the tank that is fitted.</summary>
    public required IReadOnlyList<ChannelStanding> Channels { get; init; }

    /// <summary>The days of light, the last one today's so far; none without a sensor.</summary>
    public required IReadOnlyList<LightDay> Light { get; init; }

    /// <summary>Water lost to the air.</summary>
    public required WaterLost WaterLost { get; init; }

    /// <summary>What was dosed, and what may be left.</summary>
    public required IReadOnlyList<Dosed> Doses { get; init; }

    /// <summary>The routine.</summary>
    public required IReadOnlyList<RoutineStanding> Routine { get; init; }

    /// <summary>Every trouble.</summary>
    public required IReadOnlyList<Trouble> Troubles { get; init; }

    /// <summary>The last test of each substance, and the one before.</summary>
    public required IReadOnlyList<(Note Last, Note? Before)> Tests { get; init; }

    /// <summary>The last look at each thing, and the one before.</summary>
    public required IReadOnlyList<(Note Last, Note? Before)> Looks { get; init; }

    /// <summary>How many rows of its log could not be read any more, and were passed over.</summary>
    public int DamagedRows { get; init; }

    /// <summary>Whether its last configuration could not be read any more, and an earlier one was taken.</summary>
    public bool FormerConfiguration { get; init; }

    /// <summary>Makes it.</summary>
    /// <param name="station">The station as it is configured.</param>
    /// <param name="past">Stretches of each channel, a quarter of an hour long, in order of time.</param>
    /// <param name="book">Its book.</param>
    /// <param name="now">When it is looked at.</param>
    /// <param name="zone">The keeper's time zone.</param>
    public static TankRecord Of(Station station, IReadOnlyDictionary<Channel, IReadOnlyList<Stretch>> past, Book book, DateTimeOffset now, TimeZoneInfo zone)
    {
        ArgumentNullException.ThrowIfNull(station);
        ArgumentNullException.ThrowIfNull(past);
        ArgumentNullException.ThrowIfNull(book);
        IReadOnlyList<Stretch> Of(Channel channel) => past.GetValueOrDefault(channel) ?? [];
        var tank = station.Tank;
        var temperature = ChannelStanding.Of(Channel.TankTemperature, Of(Channel.TankTemperature), (tank.MinCelsius, tank.MaxCelsius), now, zone);
        return new()
        {
            Station = station,
            Now = now,
            Channels =
            [
                .. new (bool Fitted, ChannelStanding Standing)[]
                {
                    (station.Sensors.TankConductivity is not null, ChannelStanding.Of(
                        Channel.TankConductivity, Of(Channel.TankConductivity), (tank.MinMicrosiemensPerCm, tank.MaxMicrosiemensPerCm), now, zone)),
                    (station.Sensors.TankThermometer is not null, temperature),
                    (station.Sensors.Light is not null, ChannelStanding.Of(Channel.TankLight, Of(Channel.TankLight), default, now, zone)),
                }.Where(channel => channel.Fitted).Select(channel => channel.Standing),
            ],
            Light = LightDay.Of(Of(Channel.TankLight), zone),
            WaterLost = WaterLost.Of(station, Of(Channel.TankConductivity), temperature.Now, book, now.AddDays(-DayBaseline.UsualDays - 2)),
            Doses = Standing.Doses.Of(book, station.Source.VolumeLitres, now),
            Routine = Standing.Routine.Of(station.Routine, book),
            Troubles = Standing.Troubles.Of(book),
            Tests = Latest(book, note => note.Test?.Of),
            Looks = Latest(book, note => note.Observation?.Of),
        };
    }

    private static IReadOnlyList<(Note Last, Note? Before)> Latest<T>(Book book, Func<Note, T?> of)
        where T : struct, Enum =>
        [.. book.Standing.Where(note => of(note) is not null && note.At is not null).GroupBy(note => of(note)!.Value).OrderBy(group => group.Key)
            .Select(group => (group.Last(), group.SkipLast(1).LastOrDefault()))];
}
