using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Log.Blocks;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>What stands in a span of the log beside the readings, on a connection of its own; for one caller.</summary>
internal sealed class SpanReader : IDisposable
{
    private readonly SqliteConnection _connection;
    private readonly HashSet<long> _damaged = [];

    public SpanReader(string directory, int busySeconds) => _connection = LogFile.OpenForReading(directory, busySeconds);

    /// <summary>How many entries of what was asked for so far are no longer what was written; they are passed over.</summary>
    public int Damaged => _damaged.Count;

    /// <summary>
    /// The station as it was configured last; null when the log does not know it. What was used before has its old number, so the last is the one that was used last. Where that is no longer what
    /// was written, the latest of the others that can be read, and former is true.
    /// </summary>
    /// <exception cref="JsonException">None of them can be read.</exception>
    public (Station Station, bool Former)? LastConfiguration(string station)
    {
        const string Own = "WHERE configuration_id IN (SELECT id FROM configuration WHERE station = $station)";
        var latest = Rows(
            "SELECT json FROM configuration WHERE station = $station ORDER BY id = (SELECT used FROM ("
            + $"SELECT * FROM (SELECT id AS at, configuration_id AS used FROM entry {Own} ORDER BY id DESC LIMIT 1) "
            + $"UNION ALL SELECT * FROM (SELECT last_id, configuration_id FROM batch {Own} ORDER BY first_id DESC LIMIT 1) "
            + $"UNION ALL SELECT * FROM (SELECT last_id, configuration_id FROM block {Own} ORDER BY first_id DESC LIMIT 1)) ORDER BY at DESC LIMIT 1) DESC, id DESC",
            row => row.GetString(0), ("$station", station));
        for (var i = 0; i < latest.Count; i++)
        {
            try
            {
                return (LogJson.Read<Station>(latest[i]), i > 0);
            }
            catch (JsonException) when (i < latest.Count - 1)
            {
                // A worn card; the next one may be whole.
            }
        }

        return null;
    }

    /// <summary>Every station that the log knows, in order.</summary>
    public IReadOnlyList<string> Stations() => Rows("SELECT DISTINCT station FROM configuration ORDER BY station", row => row.GetString(0));

    /// <summary>When a station was read last, by the wall; null when it never was, or nobody knows when.</summary>
    public DateTimeOffset? LastRead(string station) => new[] { BlockSql.Block, BlockSql.Batch }
        .SelectMany(table => Rows(
            $"SELECT max(last_wall_ms) FROM {table} WHERE last_wall_ms < {WallTime.MostMs} AND configuration_id IN (SELECT id FROM configuration WHERE station = $station)",
            row => row.IsDBNull(0) ? null : WallTime.Of(row.GetInt64(0)), ("$station", station)))
        .Max();

    /// <summary>A station's entries of a few kinds (not <see cref="EntryKind.Cycle"/>) in a span, in order, the last of them when there are more.</summary>
    /// <param name="station">Its name.</param>
    /// <param name="kinds">Which.</param>
    /// <param name="from">From this wall time on.</param>
    /// <param name="to">Before this one.</param>
    /// <param name="most">At most so many.</param>
    public IReadOnlyList<Entry> Happened(string station, IReadOnlyCollection<EntryKind> kinds, DateTimeOffset from, DateTimeOffset to, int most)
    {
        var last = Entries(
            station, $"e.kind IN ({string.Join(", ", kinds.Select(kind => (int)kind))})", from, to, "ORDER BY e.id DESC LIMIT $most", ("$most", most)).ToList();
        last.RemoveAll(entry => !EntryBodies.AreWhole(entry) && (_damaged.Add(entry.Id) || true));
        last.Reverse();
        return last;
    }

    /// <summary>The median volumes of the forecasts between two entries of a station, in order, L. One by one: those of some weeks of nights are a hundred megabytes.</summary>
    /// <param name="station">Its name.</param>
    /// <param name="between">The numbers of the two.</param>
    /// <param name="from">From this wall time on.</param>
    /// <param name="to">Before this one.</param>
    public IEnumerable<double> Volumes(string station, (long After, long Before) between, DateTimeOffset from, DateTimeOffset to)
    {
        foreach (var entry in Entries(
            station, $"e.kind = {(int)EntryKind.Forecast} AND e.id > $after AND e.id < $next", from, to, "ORDER BY e.id", ("$after", between.After), ("$next", between.Before)))
        {
            if (EntryBodies.AreWhole(entry)) yield return LogJson.Read<ForecastBody>(entry.Body!).VolumeP50Litres;
            else _damaged.Add(entry.Id);
        }
    }

    /// <summary>Stretches of cycles whose dates are not to be relied on, those that touch as one: from, to, and how far the clock may be believed.</summary>
    public IReadOnlyList<(DateTimeOffset From, DateTimeOffset To, ClockQuality Quality)> Doubted(string station, DateTimeOffset from, DateTimeOffset to)
    {
        const int Touching = 60_000;
        var (fromMs, toMs) = (from.ToUnixTimeMilliseconds(), to.ToUnixTimeMilliseconds());
        List<(long From, long To, ClockQuality Quality)> found = [];
        var rows = new[] { BlockSql.Block, BlockSql.Batch }.SelectMany(table => Rows(
            $"SELECT first_wall_ms, last_wall_ms, clock_quality FROM {table} WHERE {BlockSql.InSpan} AND clock_quality IN ({(int)ClockQuality.Unsynced}, {(int)ClockQuality.Restored}) "
            + "AND configuration_id IN (SELECT id FROM configuration WHERE station = $station) ORDER BY first_wall_ms",
            row => (From: row.GetInt64(0), To: row.GetInt64(1), Quality: (ClockQuality)(int)row.GetInt64(2)), BlockSql.Span(fromMs, toMs, ("$station", station))));
        foreach (var row in rows.Where(row => row.To >= fromMs && row.From < toMs && WallTime.Of(row.From) is not null && WallTime.Of(row.To) is not null))
        {
            if (found is [.., var former] && former.Quality == row.Quality && row.From - former.To <= Touching) found[^1] = former with { To = Math.Max(former.To, row.To) };
            else found.Add(row);
        }

        return [.. found.Select(one => (DateTimeOffset.FromUnixTimeMilliseconds(one.From), DateTimeOffset.FromUnixTimeMilliseconds(one.To), one.Quality))];
    }

    public void Dispose() => _connection.Dispose();

    private IEnumerable<Entry> Entries(string station, string which, DateTimeOffset from, DateTimeOffset to, string order, params (string Name, object Value)[] others) => _connection.Each(
        $"{EntryRows.Columns}WHERE {which} AND e.wall_ms >= $from AND e.wall_ms < $to AND e.configuration_id IN (SELECT id FROM configuration WHERE station = $station) {order}",
        EntryRows.Of,
        [("$station", station), ("$from", from.ToUnixTimeMilliseconds()), ("$to", to.ToUnixTimeMilliseconds()), .. others]);

    private List<T> Rows<T>(string sql, Func<SqliteDataReader, T> of, params (string Name, object Value)[] parameters) => [.. _connection.Each(sql, of, parameters)];
}
