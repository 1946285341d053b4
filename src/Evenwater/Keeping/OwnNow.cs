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

    /// <summary>Its own time; null when it has none.</summary>
    public static DateTimeOffset? Own(LogReader reader, string station)
    {
        List<BlockRow> damaged = [];
        var last = reader.Read(Math.Max(0, reader.LastId() - Enough), Enough, cycles: true, damaged).LastOrDefault(entry => entry.Station == station && entry.Wall is not null);
        var (configuration, wall) = (last?.ConfigurationId, last?.Wall);
        // Of a row whose readings are spoilt its end is still known.
        foreach (var row in damaged.Where(row => row.LastWallMs is { } ms && WallTime.Of(ms) is not null && reader.StationOf(row.ConfigurationId) == station))
        {
            if (DateTimeOffset.FromUnixTimeMilliseconds(row.LastWallMs!.Value) is var end && !(end <= wall)) (configuration, wall) = (row.ConfigurationId, end);
        }

        return configuration is { } id && reader.Configuration(id).Sensors.Source == SensorSource.Simulated ? wall : null;
    }

    private sealed class Stopped(DateTimeOffset now) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => now;
    }
}
