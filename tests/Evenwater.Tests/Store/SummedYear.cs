using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Log.Summaries;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Store;

/// <summary>
/// The log of a year in which a reading was taken each minute, made in a second or two: its summaries alone, as they are when space has taken the readings. From the 100th day on
/// nothing was read for a week; tank conductivity fell by 60 µS/cm at noon of the 200th.
/// </summary>
internal static class SummedYear
{
    public const int Days = 365;

    public static readonly DateTimeOffset Begin = new(2026, 1, 1, 0, 0, 0, TimeSpan.Zero);
    public static readonly DateTimeOffset GapFrom = Begin.AddDays(100);
    public static readonly DateTimeOffset GapTo = Begin.AddDays(107);
    public static readonly DateTimeOffset Step = Begin.AddDays(200.5);
    public static readonly Channel[] Given = [Channel.VesselConductivity, Channel.TankConductivity, Channel.VesselTemperature, Channel.TankTemperature];

    /// <summary>What a channel was at a minute, without its noise.</summary>
    public static double At(Channel channel, int minute)
    {
        var day = Math.Sin(2 * Math.PI * minute / 1440.0);
        var season = Math.Sin(2 * Math.PI * minute / (1440.0 * Days));
        return channel switch
        {
            Channel.VesselConductivity => 300 + (40 * day),
            Channel.TankConductivity => 260 + (3 * day) + (10 * season) - (Begin.AddMinutes(minute) >= Step ? 60 : 0),
            Channel.VesselTemperature => 22 + (1.5 * day) + (2 * season),
            _ => 23 + (0.4 * day) + (2 * season),
        };
    }

    /// <summary>Writes it.</summary>
    public static void Write(string folder, Station station)
    {
        using (var log = NightLog.Open(folder))
        {
            log.StartBoot("year", simulated: true);
            log.Configure(station);
        }

        using var connection = LogFile.OpenForWriting(folder, 5);
        using var transaction = connection.BeginTransaction();
        var random = new Random(5);
        foreach (var channel in Given) Write(connection, station.Name, channel, random);
        transaction.Commit();
    }

    private static void Write(SqliteConnection connection, string station, Channel channel, Random random)
    {
        var noise = channel is Channel.VesselConductivity or Channel.TankConductivity ? 1.5 : 0.05;
        List<Bucket> minutes = [];
        for (var minute = 0; minute < Days * 1440; minute++)
        {
            var at = Begin.AddMinutes(minute);
            if (at < GapFrom || at >= GapTo) minutes.Add(Bucket.Of(at.ToUnixTimeMilliseconds(), At(channel, minute) + (noise * (random.NextDouble() - 0.5))));
        }

        foreach (var grain in Grains.All)
        {
            var length = Grains.LengthMs(grain);
            List<Bucket> coarse = [];
            foreach (var bucket in minutes)
            {
                var start = Grains.Floor(bucket.StartMs, length);
                if (coarse is [.., var last] && last.StartMs == start) coarse[^1] = last.And(bucket);
                else coarse.Add(bucket with { StartMs = start });
            }

            SummaryStore.Merge(connection, station, channel, grain, coarse);
        }
    }
}
