using Evenwater.Core;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log.Summaries;

/// <summary>Rows of the table summary.</summary>
internal static class SummaryStore
{
    /// <summary>
    /// Adds buckets to what is stored, in the transaction of those who made them, from the finest grain on. A row that is no longer what was written is made anew of the finer rows, which
    /// hold these buckets already; of minutes it begins anew. As it was it would hold up the packing for good.
    /// </summary>
    public static void Merge(SqliteConnection connection, string station, Channel channel, Grain grain, IEnumerable<Bucket> buckets)
    {
        foreach (var row in buckets.GroupBy(b => Grains.Floor(b.StartMs, Grains.RowMs(grain))))
        {
            var (merged, spoilt) = (new SortedList<long, Bucket>(), false);
            foreach (var known in Rows(connection, station, channel, grain, row.Key, row.Key, _ => spoilt = true))
            {
                merged[known.StartMs] = known;
            }

            if (spoilt && grain != Grain.Minute)
            {
                merged = OfFiner(connection, station, channel, grain, row.Key);
            }
            else
            {
                foreach (var bucket in row)
                {
                    merged[bucket.StartMs] = merged.TryGetValue(bucket.StartMs, out var known) ? known.And(bucket) : bucket;
                }
            }

            connection.Run(
                "INSERT INTO summary (station, channel, grain, start_ms, columns) VALUES ($station, $channel, $grain, $start, $columns) "
                + "ON CONFLICT (station, channel, grain, start_ms) DO UPDATE SET columns = excluded.columns",
                ("$station", station), ("$channel", (int)channel), ("$grain", (int)grain), ("$start", row.Key), ("$columns", SummaryCodec.Encode(channel, grain, [.. merged.Values])));
        }
    }

    private static SortedList<long, Bucket> OfFiner(SqliteConnection connection, string station, Channel channel, Grain grain, long startMs)
    {
        var (finer, endMs) = (Grains.All.Last(one => Grains.LengthMs(one) < Grains.LengthMs(grain)), startMs + Grains.RowMs(grain));
        var summing = new Summing(ms => ms >= startMs && ms < endMs ? Grains.Floor(ms, Grains.LengthMs(grain)) : null, [channel]);
        foreach (var bucket in Rows(connection, station, channel, finer, Grains.Floor(startMs, Grains.RowMs(finer)), endMs - 1, _ => { }))
        {
            summing.Add(channel, bucket);
        }

        return summing.Buckets[channel];
    }

    /// <summary>The buckets of the rows that begin between these two instants, Unix milliseconds, in order.</summary>
    /// <param name="connection">The log's.</param>
    /// <param name="station">Of which station.</param>
    /// <param name="channel">Which channel.</param>
    /// <param name="grain">How fine.</param>
    /// <param name="firstRowMs">The first row's beginning at the earliest.</param>
    /// <param name="lastRowMs">The last row's at the latest.</param>
    /// <param name="damaged">Is told the beginning of each row that can not be read any more, which is passed over.</param>
    public static IEnumerable<Bucket> Rows(
        SqliteConnection connection, string station, Channel channel, Grain grain, long firstRowMs, long lastRowMs, Action<long> damaged)
    {
        using var command = connection.Command(
            "SELECT start_ms, columns FROM summary WHERE station = $station AND channel = $channel AND grain = $grain AND start_ms BETWEEN $first AND $last ORDER BY start_ms",
            ("$station", station), ("$channel", (int)channel), ("$grain", (int)grain), ("$first", firstRowMs), ("$last", lastRowMs));
        using var row = command.ExecuteReader();
        while (row.Read())
        {
            foreach (var bucket in Decoded(channel, grain, row.GetInt64(0), row.GetFieldValue<byte[]>(1), damaged))
            {
                yield return bucket;
            }
        }
    }

    private static IReadOnlyList<Bucket> Decoded(Channel channel, Grain grain, long startMs, byte[] columns, Action<long> damaged)
    {
        try
        {
            return [.. SummaryCodec.Decode(channel, grain, startMs, columns)];
        }
        catch (InvalidDataException)
        {
            damaged(startMs);
            return [];
        }
    }
}
