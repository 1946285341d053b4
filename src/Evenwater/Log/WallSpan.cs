using Evenwater.Log.Blocks;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>Finds by wall time where in the log a span stands, without looking into cycles.</summary>
internal static class WallSpan
{
    /// <summary>Blocks, of which there are many, by their index.</summary>
    public const string Blocks = "SELECT min(first_id), max(last_id) FROM block WHERE " + BlockSql.InSpan;

    /// <summary>Batches: those of the last hour, without an index.</summary>
    private const string Batches = "SELECT min(first_id), max(last_id) FROM batch WHERE " + BlockSql.InSpan;

    /// <summary>Entries that are no cycles have no index by time, which would cost the card a page at each commit: one pass, without their bodies.</summary>
    private const string Others = "SELECT min(id), max(id) FROM entry WHERE wall_ms >= $from AND wall_ms < $to";

    /// <summary>The first and the last number; null when there is nothing.</summary>
    public static (long First, long Last)? Numbers(SqliteConnection connection, DateTimeOffset? from, DateTimeOffset? to, bool cycles)
    {
        const long Most = long.MaxValue / 2;
        var (fromMs, toMs) = (from?.ToUnixTimeMilliseconds() ?? -Most, to?.ToUnixTimeMilliseconds() ?? Most);
        (long First, long Last)? found = null;
        foreach (var sql in cycles ? [Blocks, Batches] : new[] { Blocks, Batches, Others })
        {
            using var command = connection.Command(sql, BlockSql.Span(fromMs, toMs, ("$from", fromMs), ("$to", toMs)));
            using var row = command.ExecuteReader();
            if (row.Read() && !row.IsDBNull(0))
            {
                var (first, last) = (row.GetInt64(0), row.GetInt64(1));
                found = found is { } before ? (Math.Min(before.First, first), Math.Max(before.Last, last)) : (first, last);
            }
        }

        return found;
    }
}
