using Evenwater.Core;
using Evenwater.Log.Summaries;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log.Blocks;

/// <summary>
/// Makes an hour's block of many batches, and sums it up, on the writer's connection: batches out, block and summaries in, in one transaction. So every cycle
/// is in a batch and in no summary, or in a block and summed up.
/// </summary>
internal sealed class Packer(SqliteConnection connection)
{
    /// <summary>How long a block may last, s: what is searched for by time need not be looked for further back.</summary>
    public const double MostSeconds = 6 * 3600;

    private static readonly Channel[] All = [.. Enumerable.Range(0, Channels.Count).Select(c => (Channel)c)];

    private readonly CycleReader _reader = new(connection);

    /// <summary>Batches that are no longer what was written: they stay as they are, and hold up neither the others nor the room that is made.</summary>
    private readonly HashSet<long> _damaged = [];

    /// <summary>Packs the oldest batches that fill a block, or that nothing will be added to any more.</summary>
    /// <returns>False when there are none.</returns>
    public bool PackNext()
    {
        using var transaction = connection.BeginTransaction();
        if (NextChunk() is not { } chunk)
        {
            return false;
        }

        List<Entry> cycles;
        try
        {
            cycles = [.. chunk.SelectMany(row => _reader.Decoded(row))];
        }
        catch (Exception e) when (e is InvalidDataException or System.Text.Json.JsonException)
        {
            _damaged.UnionWith(chunk.Where(row => !_reader.IsReadable(row)).Select(row => row.FirstId));
            return true;
        }

        foreach (var row in chunk)
        {
            connection.Run($"DELETE FROM batch WHERE first_id = {row.FirstId}");
        }

        using (var inserting = BlockSql.Inserting(connection, BlockSql.Block))
        {
            BlockSql.Insert(inserting, BlockCodec.Encode(cycles, BlockCodec.Small));
        }

        SumUp(cycles);
        transaction.Commit();
        return true;
    }

    /// <summary>Batches that make one block. What has no wall time yet can not be summed up, and waits.</summary>
    private List<BlockRow>? NextChunk()
    {
        var newest = connection.Number("SELECT ifnull(max(last_id), 0) FROM batch") ?? 0;
        var open = new Dictionary<(long, long, long?, ClockQuality), List<BlockRow>>();
        var counts = new Dictionary<(long, long, long?, ClockQuality), int>();
        using var command = connection.CreateCommand();
        command.CommandText = $"SELECT {BlockSql.Columns} FROM batch WHERE first_wall_ms IS NOT NULL ORDER BY first_id";
        using var reader = command.ExecuteReader();
        while (reader.Read())
        {
            var row = BlockSql.Row(reader);
            if (_damaged.Contains(row.FirstId))
            {
                continue;
            }

            var key = (row.BootId, row.ConfigurationId, row.RunId, row.ClockQuality);
            if (!open.TryGetValue(key, out var chunk))
            {
                open.Add(key, [row]);
                counts[key] = row.Count;
            }
            else if (counts[key] + row.Count <= BlockRow.MostCycles && row.LastId - chunk[0].FirstId < BlockRow.MostSpan && BlockRow.Near(chunk[0], row)
                && row.LastAt.SecondsSince(chunk[0].FirstAt) <= MostSeconds)
            {
                chunk.Add(row);
                counts[key] += row.Count;
            }
            else
            {
                return chunk;
            }
        }

        return open.Values.Where(c => newest - c[^1].LastId > BlockRow.MostSpan).MinBy(c => c[0].FirstId);
    }

    private void SumUp(List<Entry> cycles)
    {
        var station = _reader.Configured(cycles[0].ConfigurationId);
        foreach (var grain in Grains.All)
        {
            var summing = new Summing(ms => Grains.Floor(ms, Grains.LengthMs(grain)), All);
            foreach (var cycle in cycles)
            {
                summing.Add(cycle, station.Sensors);
            }

            foreach (var (channel, buckets) in summing.Buckets)
            {
                SummaryStore.Merge(connection, station.Name, channel, grain, buckets.Values);
            }
        }
    }
}
