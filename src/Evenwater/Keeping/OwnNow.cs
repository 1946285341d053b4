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
        if (!StationRules.IsSimulated(station)) return null;
        List<BlockRow> damaged = [];
        var wall = reader.Read(Math.Max(0, reader.LastId() - Enough), Enough, cycles: true, damaged).LastOrDefault(entry => entry.Station == station && entry.Wall is not null)?.Wall;
        // Of a row whose readings are spoilt its end is still known.
        return damaged.Where(row => reader.StationOf(row.ConfigurationId) == station).Select(row => row.LastWallMs is { } ms ? WallTime.Of(ms) : null).Append(wall).Max();
    }

    private sealed class Stopped(DateTimeOffset now) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => now;
    }
}
