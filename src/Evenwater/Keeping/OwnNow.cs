using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Log.Blocks;

namespace Evenwater.Keeping;

/// <summary>What is now for a station: of a simulated one the wall time of its last cycle, since its nights pass faster.</summary>
internal static class OwnNow
{
    private const int Enough = 1000;

    /// <summary>Of a station; what the clock says when it has none of its own.</summary>
    public static DateTimeOffset Of(LogReader reader, string station, DateTimeOffset clock) => Own(reader, station) ?? clock;

    /// <summary>The same as a clock.</summary>
    public static TimeProvider Clock(LogReader reader, string station) => Own(reader, station) is { } now ? new Stopped(now) : TimeProvider.System;

    /// <exception cref="InvalidDataException">All that would tell it is damaged.</exception>
    private static DateTimeOffset? Own(LogReader reader, string station)
    {
        List<BlockRow> damaged = [];
        var last = reader.Read(Math.Max(0, reader.LastId() - Enough), Enough, cycles: true, damaged).LastOrDefault(entry => entry.Station == station && entry.Wall is not null);
        if (last is null && damaged.Count > 0) throw new InvalidDataException($"the readings from entry {damaged[0].FirstId} on can not be read");
        return last is not null && reader.Configuration(last.ConfigurationId).Sensors.Source == SensorSource.Simulated ? last.Wall : null;
    }

    private sealed class Stopped(DateTimeOffset now) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => now;
    }
}
