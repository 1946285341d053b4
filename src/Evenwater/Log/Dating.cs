using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>Gives entries that were stored without a wall time theirs. What has one keeps it: followers may have told it.</summary>
internal static class Dating
{
    private const string Whose = "boot_id = $boot AND configuration_id IN (SELECT id FROM configuration WHERE station = $station)";

    /// <summary>Dates a station's entries of one boot by one instant.</summary>
    /// <param name="connection">The writer's.</param>
    /// <param name="whose">The boot and the station.</param>
    /// <param name="monoNs">The instant, on the station's monotonic clock.</param>
    /// <param name="wallMs">Its wall time, Unix milliseconds.</param>
    /// <param name="quality">How far that may be believed.</param>
    public static void FillIn(SqliteConnection connection, (long Boot, string Station) whose, long monoNs, long wallMs, ClockQuality quality)
    {
        connection.Run(
            $"UPDATE entry SET wall_ms = $wall + (mono_ns - $mono) / 1000000, clock_quality = $quality WHERE wall_ms IS NULL AND {Whose}; "
            + "UPDATE batch SET first_wall_ms = $wall + (first_mono_ns - $mono) / 1000000, last_wall_ms = $wall + (last_mono_ns - $mono) / 1000000, "
            + $"clock_quality = $quality WHERE first_wall_ms IS NULL AND {Whose}",
            ("$wall", wallMs), ("$mono", monoNs), ("$quality", (int)quality), ("$boot", whose.Boot), ("$station", whose.Station));
    }

    /// <summary>Dates what boots left without, those that are over or the one given: as if it had followed at once on what the log held before.</summary>
    public static void LeftOver(SqliteConnection connection, long? bootId = null)
    {
        List<(long Boot, string Station, long MonoNs)> left =
        [
            .. connection.Each(
                "SELECT u.boot_id, c.station, min(u.mono_ns) FROM (SELECT boot_id, configuration_id, mono_ns FROM entry WHERE wall_ms IS NULL "
                + "UNION ALL SELECT boot_id, configuration_id, first_mono_ns FROM batch WHERE first_wall_ms IS NULL) u "
                + "JOIN configuration c ON c.id = u.configuration_id WHERE $boot IS NULL OR u.boot_id = $boot GROUP BY u.boot_id, c.station ORDER BY u.boot_id",
                row => (row.GetInt64(0), row.GetString(1), row.GetInt64(2)), ("$boot", bootId ?? (object)DBNull.Value)),
        ];

        foreach (var (boot, station, monoNs) in left)
        {
            FillIn(connection, (boot, station), monoNs, connection.Number(LatestWall) ?? 0, ClockQuality.Restored);
        }
    }

    /// <summary>The latest wall time that the log knows, Unix milliseconds, or null.</summary>
    private static readonly string LatestWall =
        $"SELECT max(w) FROM (SELECT wall_ms AS w FROM entry UNION ALL SELECT last_wall_ms FROM batch UNION ALL SELECT last_wall_ms FROM block) WHERE w < {WallTime.MostMs}";
}
