using System.Globalization;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>
/// A log that is damaged is set aside, and a new one begun: a keeper who is asleep can not move files. What the old one knew of a trip may be lost, so
/// whoever begins anew must begin tripped.
/// </summary>
internal static class DamagedLog
{
    private static readonly string[] Parts = ["-shm", "-wal", ""];

    /// <summary>Checks the folder's log (PRAGMA quick_check) and renames it, with what belongs to it, when it is damaged.</summary>
    /// <param name="folder">Where it is, or will be.</param>
    /// <param name="at">For the new name.</param>
    /// <returns>What was done, in a sentence; null when there is no log, or a good one.</returns>
    /// <exception cref="LogUnusableException">It is damaged, and can not be moved.</exception>
    public static string? SetAside(string folder, DateTimeOffset at)
    {
        var file = Path.Combine(folder, LogFile.Name);
        if (!File.Exists(file) || Damage(folder) is not { } damage)
        {
            return null;
        }

        var aside = $"night-damaged-{at.UtcDateTime.ToString("yyyyMMdd-HHmmss", CultureInfo.InvariantCulture)}.sqlite";
        try
        {
            foreach (var part in Parts.Where(part => File.Exists(file + part)))
            {
                File.Move(file + part, Path.Combine(folder, aside + part));
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new LogUnusableException($"the log {file} is damaged ({damage}) and can not be set aside ({e.Message}); move it and its -wal file away to begin a new log, and keep them", e);
        }

        return $"The log was damaged ({damage}). It was set aside as {aside}, with its -wal file; keep them: most of it can usually be recovered. A new log was begun. "
            + "Whether the old one knew of a trip is not known, so every station begins tripped: look at valve, vessel and floor, then reset, and do the proof test again.";
    }

    /// <summary>What is wrong with it, or null. What is not damage, such as a file that may not be read, is left to whoever opens it.</summary>
    private static string? Damage(string folder)
    {
        try
        {
            using var connection = LogFile.OpenForReading(folder, busySeconds: 2);
            using var command = connection.CreateCommand();
            command.CommandText = "PRAGMA quick_check(1)";
            return command.ExecuteScalar() is string found && found != "ok" ? string.Concat(found.Where(c => !char.IsControl(c))) : null;
        }
        catch (SqliteException e) when (e.SqliteErrorCode is SQLitePCL.raw.SQLITE_NOTADB or SQLitePCL.raw.SQLITE_CORRUPT)
        {
            return e.Message;
        }
        catch (SqliteException)
        {
            return null;
        }
    }
}
