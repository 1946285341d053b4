using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Log.Blocks;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>Reads what is committed, on a connection of its own. Any thread may use it; one at a time is served.</summary>
internal sealed partial class LogReader : IDisposable
{
    private const int Page = 1000;

    /// <summary>See <see cref="LastId"/>. Of rows that begin so far before the last one none ends after it; to ask them all is to read the whole table, and a start waits for that.</summary>
    public static readonly string HighestId = $"SELECT max(ifnull((SELECT max(id) FROM entry), 0), {Ends(BlockSql.Batch)}, {Ends(BlockSql.Block)})";

    private readonly Lock _gate = new();
    private readonly Dictionary<long, Station> _configurations = [];
    private readonly SqliteConnection _connection;
    private readonly CycleReader _cycles;

    public LogReader(string directory, int busySeconds)
    {
        _connection = LogFile.OpenForReading(directory, busySeconds);
        _cycles = new CycleReader(_connection);
    }

    /// <summary>Up to so many entries after this one, in order; none only when there are no more.</summary>
    /// <param name="afterId">After this number.</param>
    /// <param name="max">So many.</param>
    /// <param name="damaged">Takes the rows of cycles that can not be read any more, which are passed over; null: they are an error.</param>
    public IReadOnlyList<Entry> Read(long afterId, int max, List<BlockRow>? damaged = null) => Read(afterId, max, others: true, cycles: true, damaged);

    /// <summary>Up to so many entries after this one, in order: cycles alone, or all that are no cycles; none only when there are no more.</summary>
    public IReadOnlyList<Entry> Read(long afterId, int max, bool cycles, List<BlockRow>? damaged = null) => Read(afterId, max, others: !cycles, cycles, damaged);

    private List<Entry> Read(long afterId, int max, bool others, bool cycles, List<BlockRow>? damaged)
    {
        lock (_gate)
        {
            using var transaction = _connection.BeginTransaction(deferred: true);
            if (!cycles)
            {
                return [.. Others("WHERE e.id > $after ORDER BY e.id LIMIT $max", ("$after", afterId), ("$max", max))];
            }

            // Numbers are dense, so a page ends at a number; but what space took is skipped.
            while (NextId(afterId, others) is { } next)
            {
                var upTo = next - 1 + max;
                List<Entry> entries = others ? [.. Others("WHERE e.id > $after AND e.id <= $upto", ("$after", afterId), ("$upto", upTo))] : [];
                entries.AddRange(_cycles.Between(afterId, upTo, damaged));
                if (entries.Count > 0)
                {
                    entries.Sort((a, b) => a.Id.CompareTo(b.Id));
                    return entries;
                }

                afterId = upTo;
            }

            return [];
        }
    }

    /// <summary>Between which numbers all stands that was in this span by the wall; null when nothing was. A few that were not may stand there too.</summary>
    /// <param name="from">From this wall time on; null: from the beginning.</param>
    /// <param name="to">Before this wall time; null: to the end.</param>
    /// <param name="cycles">Cycles alone; else every entry.</param>
    public (long First, long Last)? Within(DateTimeOffset? from, DateTimeOffset? to, bool cycles)
    {
        lock (_gate)
        {
            return WallSpan.Numbers(_connection, from, to, cycles);
        }
    }

    /// <summary>All entries of one run, in order, read in pages.</summary>
    /// <param name="runId">The run's number.</param>
    /// <param name="damaged">Is told the rows of cycles that can not be read any more, which are passed over, some more than once; null: they are an error.</param>
    public IEnumerable<Entry> ReadRun(long runId, Action<BlockRow>? damaged = null)
    {
        var after = 0L;
        while (true)
        {
            List<Entry> page;
            lock (_gate)
            {
                using var transaction = _connection.BeginTransaction(deferred: true);
                var cycles = _cycles.OfRun(runId, after, damaged);
                page = cycles is [.., var last]
                    ? [.. Others("WHERE e.run_id = $run AND e.id > $after AND e.id <= $upto", ("$run", runId), ("$after", after), ("$upto", last.Id)), .. cycles]
                    : [.. Others("WHERE e.run_id = $run AND e.id > $after ORDER BY e.id LIMIT $max", ("$run", runId), ("$after", after), ("$max", Page))];
            }

            if (page.Count == 0)
            {
                yield break;
            }

            page.Sort((a, b) => a.Id.CompareTo(b.Id));
            foreach (var entry in page)
            {
                yield return entry;
            }

            after = page[^1].Id;
        }
    }

    /// <summary>The number of the last entry; 0 when there is none. A row whose end is spoilt ends where it may at the latest: no number is given a second time.</summary>
    public long LastId() => Number(HighestId, ("$span", BlockRow.MostSpan)) ?? 0;

    /// <summary>Whose configuration it is; empty when there is none of that number, which only a spoilt row can name.</summary>
    public string StationOf(long configurationId) => Text("SELECT coalesce((SELECT station FROM configuration WHERE id = $id), '')", ("$id", configurationId));

    /// <summary>Up to which number cycles are gone, because they had to make room; 0: none are.</summary>
    public long GoneUpTo() => Number("SELECT dropped_to FROM space") ?? 0;

    /// <summary>How many boots there have been.</summary>
    public long Boots() => Number("SELECT max(id) FROM boot") ?? 0;

    /// <summary>How many configurations there have been.</summary>
    public long Configurations() => Number("SELECT max(id) FROM configuration") ?? 0;

    /// <summary>The log's own UUID.</summary>
    public string Identity() => Text("SELECT identity FROM log");

    /// <summary>The UUID of a boot.</summary>
    public string BootToken(long bootId) => Text("SELECT token FROM boot WHERE id = $boot", ("$boot", bootId));

    /// <summary>The station as it was configured and calibrated.</summary>
    public Station Configuration(long configurationId)
    {
        lock (_gate)
        {
            if (!_configurations.TryGetValue(configurationId, out var station))
            {
                station = LogJson.Read<Station>(Text("SELECT json FROM configuration WHERE id = $id", ("$id", configurationId)));
                _configurations.Add(configurationId, station);
            }

            return station;
        }
    }

    /// <summary>Every follower's cursor on the disk.</summary>
    public Dictionary<string, long> Cursors()
    {
        lock (_gate)
        {
            return _connection.Each("SELECT follower, entry_id FROM cursor", row => (Follower: row.GetString(0), Id: row.GetInt64(1))).ToDictionary(c => c.Follower, c => c.Id);
        }
    }

    public void Dispose()
    {
        lock (_gate)
        {
            _connection.Dispose();
        }
    }

    private static string Ends(string table) =>
        $"ifnull((SELECT max(max(first_id, min(last_id, first_id + $span))) FROM {table} WHERE first_id >= (SELECT max(first_id) FROM {table}) - $span), 0)";

    private List<Entry> Select(string where, params (string Name, object Value)[] parameters)
    {
        lock (_gate)
        {
            return [.. Others(where, parameters)];
        }
    }

    /// <summary>Entries that are no cycles.</summary>
    private IEnumerable<Entry> Others(string where, params (string Name, object Value)[] parameters) => _connection.Each(EntryRows.Columns + where, EntryRows.Of, parameters);

    /// <summary>Where the next entry, or the next cycle, is at the earliest; null when there is none.</summary>
    private long? NextId(long afterId, bool others)
    {
        return _connection.Number(
            $"SELECT min(id) FROM (SELECT ({(others ? "SELECT min(id) FROM entry WHERE id > $after" : "NULL")}) AS id UNION ALL SELECT ({Next(BlockSql.Block)}) UNION ALL SELECT ({Next(BlockSql.Batch)}))",
            ("$after", afterId), ("$span", BlockRow.MostSpan));

        // Of a row that begins earlier only the end is known to come later.
        static string Next(string table) =>
            $"SELECT max(first_id, $after + 1) FROM {table} WHERE first_id > $after - $span AND last_id > $after ORDER BY first_id LIMIT 1";
    }

    private long? Number(string sql, params (string Name, object Value)[] parameters)
    {
        lock (_gate)
        {
            return _connection.Number(sql, parameters);
        }
    }

    private string Text(string sql, params (string Name, object Value)[] parameters)
    {
        lock (_gate)
        {
            using var command = _connection.Command(sql, parameters);
            return command.ExecuteScalar() as string ?? throw new InvalidDataException($"the log has no such row: {sql}");
        }
    }
}
