using Microsoft.Data.Sqlite;

namespace Evenwater.Log.Blocks;

/// <summary>
/// Lets go of the oldest readings while the log holds more than it may, on the writer's connection. With them go the forecasts and sentences that were made of them, all but the last of each
/// quarter of an hour: of a night they take ten times the room of its readings. Summaries stay, and every other entry.
/// </summary>
internal sealed class RoomMaker(SqliteConnection connection)
{
    /// <summary>Room within the file that lasts for hours of cycles and many alarms, bytes.</summary>
    private const long RoomWithin = 2 << 20;

    /// <summary>A day of one station.</summary>
    private const int AtOnce = 24;

    /// <summary>What a start needs to go on with a run that is under way, to which the latest cycles belong, is kept whatever the log may hold.</summary>
    private const string Free =
        "(run_id IS NULL OR run_id NOT IN (SELECT run_id FROM batch WHERE run_id IS NOT NULL AND first_id IN (SELECT max(first_id) FROM batch GROUP BY configuration_id)))";

    private const long QuarterHourNs = 900_000_000_000;

    private static readonly string Made = $"kind IN ({(int)EntryKind.Forecast}, {(int)EntryKind.Say})";

    /// <summary>Whether there was nothing left to let go of.</summary>
    public bool IsWanting { get; private set; }

    /// <summary>Lets go of a day while the file holds more than this, or while there is no room on the disk for it to grow.</summary>
    /// <param name="mostBytes">What the file may hold.</param>
    /// <param name="tight">Whether the disk is full: then the file must have room within itself.</param>
    /// <returns>Up to which number cycles are gone; null when nothing had to go.</returns>
    public long? MakeRoom(long mostBytes, bool tight)
    {
        var (page, free) = (connection.Number("PRAGMA page_size") ?? 0, connection.Number("PRAGMA freelist_count") ?? 0);
        var over = (connection.Number("PRAGMA page_count") - free) * page > mostBytes;
        IsWanting = false;
        if (!over && !(tight && free * page < RoomWithin))
        {
            return null;
        }

        using var transaction = connection.BeginTransaction();
        var oldest = $"FROM block WHERE {Free} ORDER BY first_id LIMIT {AtOnce}";
        var upTo = connection.Number($"SELECT ifnull(max(last_id), 0) FROM (SELECT last_id {oldest})") ?? 0;
        if (upTo == 0)
        {
            IsWanting = over;
            return null;
        }

        connection.Run($"DELETE FROM block WHERE first_id IN (SELECT first_id {oldest})");
        if (!tight)
        {
            // On a full disk there is no room to write down so many changes.
            var theirs = $"{Made} AND {Free} AND id <= {upTo} AND id > (SELECT dropped_to FROM space)";
            connection.Run($"DELETE FROM entry WHERE {theirs} AND id NOT IN (SELECT max(id) FROM entry WHERE {theirs} GROUP BY kind, configuration_id, run_id, mono_ns / {QuarterHourNs})");
        }

        connection.Run($"UPDATE space SET dropped_to = max(dropped_to, {upTo})");
        transaction.Commit();
        return upTo;
    }
}
