using Evenwater.Log.Summaries;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>A boot as the log keeps it.</summary>
internal sealed record BootRow(long Id, string Token, string Version, bool Simulated, long CreatedMs);

/// <summary>A configuration as the log keeps it; the JSON to the letter, since it is told apart by it.</summary>
internal sealed record ConfigurationRow(long Id, string Station, string Json, long CreatedMs);

/// <summary>What a log is besides its entries: who it is, its boots and its configurations, with the numbers that entries name.</summary>
/// <param name="Identity">The log's UUID.</param>
/// <param name="DroppedTo">Cycles up to this number may be gone for want of space.</param>
/// <param name="Boots">In order.</param>
/// <param name="Configurations">In order.</param>
internal sealed record LogOrigin(string Identity, long DroppedTo, IReadOnlyList<BootRow> Boots, IReadOnlyList<ConfigurationRow> Configurations)
{
    /// <summary>Reads it on a connection of its own.</summary>
    public static LogOrigin Read(string directory, int busySeconds)
    {
        using var connection = LogFile.OpenForReading(directory, busySeconds);
        return new LogOrigin(
            One(connection, "log", "SELECT identity FROM log", row => row.GetString(0)),
            One(connection, "space", "SELECT dropped_to FROM space", row => row.GetInt64(0)),
            Rows(connection, "SELECT id, token, version, simulated, created_ms FROM boot ORDER BY id",
                row => new BootRow(row.GetInt64(0), row.GetString(1), row.GetString(2), row.GetBoolean(3), row.GetInt64(4))),
            Rows(connection, "SELECT id, station, json, created_ms FROM configuration ORDER BY id",
                row => new ConfigurationRow(row.GetInt64(0), row.GetString(1), row.GetString(2), row.GetInt64(3))));
    }

    /// <summary>Since when readings stand in it that are more than summed up; null when there are none that are not.</summary>
    /// <param name="directory">The log's folder.</param>
    /// <param name="busySeconds">How long another process may hold the file.</param>
    public static DateTimeOffset? SummedUpUntil(string directory, int busySeconds)
    {
        using var connection = LogFile.OpenForReading(directory, busySeconds);
        return Rows(connection,
            $"SELECT raw FROM (SELECT (SELECT min(start_ms) FROM summary WHERE grain = {(int)Grain.Minute}) AS summed, "
            + "(SELECT min(w) FROM (SELECT min(first_wall_ms) AS w FROM block UNION ALL SELECT min(first_wall_ms) FROM batch)) AS raw) "
            + $"WHERE summed + {Grains.RowMs(Grain.Minute)} <= raw OR (SELECT max(dropped_to) FROM space) > 0",
            row => row.IsDBNull(0) ? null : WallTime.Of(row.GetInt64(0))) is [var from] ? from : null;
    }

    /// <summary>The first and the last time of what stands in it, what is only summed up left out; null when nothing is dated.</summary>
    /// <param name="directory">The log's folder.</param>
    /// <param name="busySeconds">How long another process may hold the file.</param>
    public static (DateTimeOffset First, DateTimeOffset Last)? Times(string directory, int busySeconds)
    {
        using var connection = LogFile.OpenForReading(directory, busySeconds);
        return Rows(connection,
            "SELECT min(a), max(z) FROM (SELECT wall_ms AS a, wall_ms AS z FROM entry UNION ALL SELECT first_wall_ms, last_wall_ms FROM batch UNION ALL SELECT first_wall_ms, last_wall_ms FROM block) "
            + $"WHERE z < {WallTime.MostMs}",
            row => row.IsDBNull(0) || WallTime.Of(row.GetInt64(0)) is not { } first || WallTime.Of(row.GetInt64(1)) is not { } last ? ((DateTimeOffset, DateTimeOffset)?)null : (first, last))[0];
    }

    private static T One<T>(SqliteConnection connection, string table, string sql, Func<SqliteDataReader, T> of) =>
        Rows(connection, sql, of) is [var one, ..] ? one : throw new InvalidDataException($"its table {table} is empty");

    private static List<T> Rows<T>(SqliteConnection connection, string sql, Func<SqliteDataReader, T> of) => [.. connection.Each(sql, of)];
}
