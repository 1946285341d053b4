using Evenwater.Core;
using Evenwater.Core.Standing;
using Evenwater.Log;
using Evenwater.Log.Summaries;

namespace Evenwater.Keeping;

/// <summary>What a tank's record is made of, read from the log.</summary>
internal static class TankHistory
{
    /// <summary>What is measured in a tank all year.</summary>
    public static readonly Channel[] Channels = [Channel.TankConductivity, Channel.TankTemperature, Channel.TankLight];

    private const int QuartersADay = 96;
    private static readonly TimeSpan Quarter = TimeSpan.FromMinutes(15);

    /// <summary>The record of a station as the log has it.</summary>
    /// <param name="folder">The log's folder.</param>
    /// <param name="station">Its name, as it stands in the log.</param>
    /// <param name="zone">The keeper's time zone.</param>
    /// <param name="clock">What the clock says; a simulated station goes by its own last cycle instead.</param>
    public static TankRecord Read(string folder, string station, TimeZoneInfo zone, DateTimeOffset clock)
    {
        using var reader = new LogReader(folder, KeptLog.BusySeconds);
        var (configured, former) = KeptLog.LastConfiguration(folder, station);
        var now = OwnNow.Of(reader, station, clock);
        using var history = new History(folder, KeptLog.BusySeconds);
        // Buckets stand on the quarter.
        var to = new DateTimeOffset(now.UtcTicks - (now.UtcTicks % Quarter.Ticks), TimeSpan.Zero) + Quarter;
        var past = history.Read(station, Channels, to.AddDays(-DayBaseline.UsualDays - 1), to, (DayBaseline.UsualDays + 1) * QuartersADay);
        var length = TimeSpan.FromMilliseconds(past.StepMs);
        return TankRecord.Of(
            configured,
            past.Series.ToDictionary(
                series => series.Key,
                series => (IReadOnlyList<Stretch>)[.. series.Value.Select(bucket => Of(bucket, length, now))]),
            Books.Of(reader, station), now, zone) with { DamagedRows = history.Damaged, FormerConfiguration = former };
    }

    /// <summary>The quarter of an hour that is not over yet is as long as it has lasted.</summary>
    private static Stretch Of(in Bucket bucket, TimeSpan length, DateTimeOffset now)
    {
        var from = DateTimeOffset.FromUnixTimeMilliseconds(bucket.StartMs);
        return new Stretch(from, from + length > now && now > from ? now - from : length, bucket.Mean);
    }
}
