using Evenwater.Core;
using Evenwater.Followers;
using Evenwater.Log.Blocks;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>Looks at the log for its figures, on a connection of its own, so that who asks holds up no follower.</summary>
/// <param name="directory">The log's folder.</param>
/// <param name="now">The wall time, by which ages are told of entries from a real clock.</param>
internal sealed class LogLook(string directory, DateTimeOffset now) : IDisposable
{
    private readonly SqliteConnection _connection = LogFile.OpenForReading(directory, busySeconds: 1);
    private readonly LogReader _reader = new(directory, busySeconds: 1);

    /// <summary>The figures for these followers, with the cursors as they are kept, or as given.</summary>
    public LogFigures Figures(IEnumerable<Lane> lanes, Func<string, long>? cursor = null)
    {
        var kept = _reader.Cursors();
        var file = Path.Combine(directory, LogFile.Name);
        return new LogFigures(
            _reader.LastId(),
            Number("SELECT ifnull((SELECT sum(readings) FROM batch), 0) + ifnull((SELECT sum(readings) FROM block), 0)") ?? 0,
            Length(file) + Length(file + "-wal"),
            new DriveInfo(directory).AvailableFreeSpace,
            [.. lanes.Select(lane => Lag(lane, cursor?.Invoke(lane.Cursor) ?? kept.GetValueOrDefault(lane.Cursor)))]);
    }

    /// <summary>The followers that have a cursor in the log.</summary>
    public IReadOnlyList<Lane> Kept() => [.. _reader.Cursors().Keys.Order(StringComparer.Ordinal).Select(Lane.Of).OfType<Lane>()];

    public void Dispose()
    {
        _connection.Dispose();
        _reader.Dispose();
    }

    private FollowerLag Lag(Lane lane, long after)
    {
        var readings = lane.Cycles ? Readings(lane, after) : (Count: 0L, Oldest: null);
        var others = lane.Others ? Number($"SELECT count(*) FROM entry e WHERE e.id > $after AND {Whose("e", lane)}", after, lane.Station) ?? 0 : 0;
        var first = lane.Others ? Number($"SELECT min(e.id) FROM entry e WHERE e.id > $after AND {Whose("e", lane)}", after, lane.Station) : null;
        return new FollowerLag(lane.Cursor, readings.Count, others, Age(Earlier(readings.Oldest, first)));
    }

    /// <summary>Whole rows by what stands beside them; of those that the cursor is inside of, the cycles.</summary>
    private (long Count, long? Oldest) Readings(Lane lane, long after)
    {
        using var transaction = _connection.BeginTransaction(deferred: true);
        var (count, oldest) = (0L, (long?)null);
        foreach (var table in new[] { BlockSql.Block, BlockSql.Batch })
        {
            count += Number($"SELECT sum(readings) FROM {table} b WHERE b.first_id > $after AND {Whose("b", lane)}", after, lane.Station) ?? 0;
            oldest = Earlier(oldest, Number($"SELECT min(first_id) FROM {table} b WHERE b.first_id > $after AND {Whose("b", lane)}", after, lane.Station));
        }

        var cycles = new CycleReader(_connection);
        foreach (var row in cycles.Rows($"first_id > {after - BlockRow.MostSpan} AND first_id <= {after} AND last_id > {after}", "").Where(row => cycles.IsReadable(row)))
        {
            foreach (var cycle in cycles.Decoded(row).Where(c => c.Id > after && (lane.Station is null || c.Station == lane.Station)))
            {
                count += Fitted(cycle);
                oldest = Earlier(oldest, cycle.Id);
            }
        }

        return (count, oldest);
    }

    /// <summary>By the boot's own clock where that can be: a simulated night and a clock that was never set have no other; else by the wall.</summary>
    private double Age(long? id)
    {
        if (id is null || _reader.Read(id.Value - 1, 1, []) is not [var oldest, ..] || _reader.Read(_reader.LastId() - 1, 1, []) is not [.., var newest])
        {
            return 0;
        }

        var age = oldest switch
        {
            { ClockQuality: not ClockQuality.Simulated, Wall: { } wall } => (now - wall).TotalSeconds,
            _ when oldest.BootId == newest.BootId && oldest.Station == newest.Station => newest.At.SecondsSince(oldest.At),
            _ => ((newest.Wall - oldest.Wall) ?? default).TotalSeconds,
        };
        return Math.Max(0, age);
    }

    private static string Whose(string row, Lane lane) =>
        lane.Station is null ? "true" : $"{row}.configuration_id IN (SELECT id FROM configuration WHERE station = $station)";

    private static long? Earlier(long? a, long? b) => a is null || b < a ? b : a;

    private static int Fitted(Entry cycle)
    {
        var count = 0;
        for (var channel = 0; cycle.Samples is { } samples && channel < Channels.Count; channel++)
        {
            count += samples[channel].Reason == Reason.NotFitted ? 0 : 1;
        }

        return count;
    }

    private static long Length(string file) => File.Exists(file) ? new FileInfo(file).Length : 0;

    private long? Number(string sql, long after = 0, string? station = null) => _connection.Number(sql, ("$after", after), ("$station", station ?? ""));
}
