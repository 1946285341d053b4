using Evenwater.Core;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>Entries that are no cycles, out of their table with their station's name.</summary>
internal static class EntryRows
{
    /// <summary>What is selected, in the order of <see cref="Of"/>.</summary>
    public const string Columns =
        "SELECT e.id, e.boot_id, e.configuration_id, c.station, e.run_id, e.mono_ns, e.wall_ms, e.clock_quality, e.kind, e.body "
        + "FROM entry e JOIN configuration c ON c.id = e.configuration_id ";

    /// <summary>The entry that stands in the reader.</summary>
    public static Entry Of(SqliteDataReader row) => new()
    {
        Id = row.GetInt64(0),
        BootId = row.GetInt64(1),
        ConfigurationId = row.GetInt64(2),
        Station = row.GetString(3),
        RunId = row.IsDBNull(4) ? null : row.GetInt64(4),
        At = new MonotonicTime(row.GetInt64(5)),
        Wall = row.IsDBNull(6) ? null : WallTime.Of(row.GetInt64(6)),
        ClockQuality = (ClockQuality)(int)row.GetInt64(7),
        Kind = (EntryKind)(int)row.GetInt64(8),
        Body = row.IsDBNull(9) ? null : row.GetString(9),
        Spoilt = (!row.IsDBNull(6) && WallTime.Of(row.GetInt64(6)) is null) || !Enum.IsDefined((ClockQuality)(int)row.GetInt64(7)),
    };
}
