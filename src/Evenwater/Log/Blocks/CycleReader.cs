using Evenwater.Core.Stations;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log.Blocks;

/// <summary>Reads cycles out of batches and blocks, over a connection and inside transactions of its owner's, who also locks.</summary>
internal sealed class CycleReader(SqliteConnection connection)
{
    /// <summary>So many cycles of a run at once are enough: a restart after a day and a half held all of them together, and came near the memory that its unit gives it.</summary>
    private const int Enough = 2 * BlockRow.MostCycles;

    private readonly Dictionary<long, Station> _stations = [];
    private (long First, long Last, long? WallMs, Entry[] Cycles) _latest = (0, 0, null, []);

    /// <summary>The cycles whose numbers are above the one and not above the other, in order.</summary>
    /// <param name="after">Above this number.</param>
    /// <param name="upTo">Not above this.</param>
    /// <param name="damaged">Takes the rows that can not be read any more, which are passed over; null: they are an error.</param>
    public List<Entry> Between(long after, long upTo, List<BlockRow>? damaged)
    {
        var cycles = new List<Entry>();
        var where = $"first_id > {after - BlockRow.MostSpan} AND first_id <= {upTo} AND last_id > {after}";
        foreach (var row in Rows(where, ""))
        {
            if (damaged is null || IsReadable(row))
            {
                cycles.AddRange(Decoded(row).Where(c => c.Id > after && c.Id <= upTo));
            }
            else
            {
                damaged.Add(row);
            }
        }

        cycles.Sort((a, b) => a.Id.CompareTo(b.Id));
        return cycles;
    }

    /// <summary>The next cycles of a run after this number, some blocks of them; none when there are no more.</summary>
    /// <param name="runId">The run's number.</param>
    /// <param name="after">After this number.</param>
    /// <param name="damaged">Is told the rows that can not be read any more, which are passed over; null: they are an error.</param>
    public List<Entry> OfRun(long runId, long after, Action<BlockRow>? damaged = null)
    {
        var cycles = new List<Entry>();
        for (var passed = after; cycles.Count == 0;)
        {
            List<BlockRow> rows = [.. Rows($"run_id = {runId} AND last_id > {passed}", "ORDER BY first_id LIMIT 32")];
            if (rows.Count == 0)
            {
                break;
            }

            foreach (var row in rows.TakeWhile(_ => cycles.Count < Enough))
            {
                if (damaged is null || IsReadable(row))
                {
                    cycles.AddRange(Decoded(row).Where(c => c.Id > after));
                }
                else
                {
                    damaged(row);
                }
            }

            passed = rows.Max(row => row.LastId);
        }

        return cycles;
    }

    /// <summary>Rows of both tables.</summary>
    /// <param name="where">SQL, of our own making.</param>
    /// <param name="order">SQL after both.</param>
    public IEnumerable<BlockRow> Rows(string where, string order) =>
        connection.Each($"SELECT {BlockSql.Columns} FROM block WHERE {where} UNION ALL SELECT {BlockSql.Columns} FROM batch WHERE {where} {order}", BlockSql.Row);

    /// <summary>The cycles of one row.</summary>
    public Entry[] Decoded(BlockRow row)
    {
        // Whoever follows asks for a block's cycles a page at a time.
        if ((_latest.First, _latest.Last, _latest.WallMs) != (row.FirstId, row.LastId, row.FirstWallMs))
        {
            _latest = (row.FirstId, row.LastId, row.FirstWallMs, BlockCodec.Decode(row, Configured(row.ConfigurationId).Name));
        }

        return _latest.Cycles;
    }

    /// <summary>Whether a row is still what was written. A worn card gives back other bytes, and SQLite sees nothing wrong with the file.</summary>
    public bool IsReadable(BlockRow row)
    {
        try
        {
            _ = Decoded(row);
            return true;
        }
        catch (Exception e) when (e is InvalidDataException or System.Text.Json.JsonException)
        {
            return false;
        }
    }

    /// <summary>The station as it was configured and calibrated.</summary>
    public Station Configured(long id)
    {
        if (!_stations.TryGetValue(id, out var station))
        {
            using var command = connection.Command($"SELECT json FROM configuration WHERE id = {id}");
            station = LogJson.Read<Station>(command.ExecuteScalar() as string ?? throw new InvalidDataException($"the log has no configuration {id}"));
            _stations.Add(id, station);
        }

        return station;
    }
}
