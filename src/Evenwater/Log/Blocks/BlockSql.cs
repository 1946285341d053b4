using System.Data.Common;
using Evenwater.Core;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log.Blocks;

/// <summary>Block rows to and from the tables batch and block, which have the same columns.</summary>
internal static class BlockSql
{
    /// <summary>Of one commit.</summary>
    public const string Batch = "batch";

    /// <summary>Of up to an hour.</summary>
    public const string Block = "block";

    /// <summary>The columns, in the order of <see cref="Row"/>.</summary>
    public const string Columns =
        "first_id, last_id, count, readings, boot_id, configuration_id, run_id, clock_quality, first_mono_ns, last_mono_ns, first_wall_ms, last_wall_ms, columns";

    /// <summary>
    /// Rows that may hold cycles of a span of wall time; given by <see cref="Span"/>. A row that begins earlier than it may last ends before the span; the
    /// dates of its ends are as sure as <see cref="BlockRow.LookFurtherMs"/> says.
    /// </summary>
    public const string InSpan = "first_wall_ms > $early AND first_wall_ms < $late AND last_wall_ms >= $before";

    private static readonly string[] Names = Columns.Split(", ");

    /// <summary>The span of <see cref="InSpan"/>, Unix milliseconds, with other parameters before it.</summary>
    public static (string Name, object Value)[] Span(long fromMs, long toMs, params ReadOnlySpan<(string Name, object Value)> others) =>
    [
        .. others,
        ("$early", fromMs - (long)(Packer.MostSeconds * 1000) - (2 * BlockRow.LookFurtherMs)),
        ("$late", toMs + BlockRow.LookFurtherMs),
        ("$before", fromMs - BlockRow.LookFurtherMs),
    ];

    /// <summary>A command for <see cref="Insert"/>; to be disposed.</summary>
    public static SqliteCommand Inserting(SqliteConnection connection, string table)
    {
        var command = connection.CreateCommand();
        command.CommandText = $"INSERT INTO {table} ({Columns}) VALUES ({string.Join(", ", Names.Select(n => "$" + n))})";
        foreach (var name in Names)
        {
            command.Parameters.Add(new SqliteParameter { ParameterName = "$" + name });
        }

        return command;
    }

    public static void Insert(SqliteCommand inserting, BlockRow row)
    {
        object?[] values =
        [
            row.FirstId, row.LastId, row.Count, row.Readings, row.BootId, row.ConfigurationId, row.RunId, (int)row.ClockQuality,
            row.FirstAt.Nanoseconds, row.LastAt.Nanoseconds, row.FirstWallMs, row.LastWallMs, row.Columns,
        ];
        for (var i = 0; i < values.Length; i++)
        {
            inserting.Parameters[i].Value = values[i] ?? DBNull.Value;
        }

        inserting.ExecuteNonQuery();
    }

    /// <summary>The row that stands in the reader, from its first column on.</summary>
    public static BlockRow Row(DbDataReader row) => new(
        row.GetInt64(0), row.GetInt64(1), (int)Math.Clamp(row.GetInt64(2), 0, int.MaxValue), row.GetInt64(3), row.GetInt64(4), row.GetInt64(5),
        row.IsDBNull(6) ? null : row.GetInt64(6), (ClockQuality)(int)row.GetInt64(7),
        new MonotonicTime(row.GetInt64(8)), new MonotonicTime(row.GetInt64(9)),
        row.IsDBNull(10) ? null : row.GetInt64(10), row.IsDBNull(11) ? null : row.GetInt64(11), row.GetFieldValue<byte[]>(12));
}
