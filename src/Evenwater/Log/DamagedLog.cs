using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>
/// A log that is damaged is set aside, and a new one begun: a keeper who is asleep can not move files. What the old one knew of a trip may be lost, so
/// whoever begins anew must begin tripped.
/// </summary>
internal static class DamagedLog
{
    /// <summary>
    /// A file larger than this is not gone through before the start but beside it (see <see cref="LogExamination"/>): a card that gives 20 MB/s would hold up the
    /// station for the better part of a minute. Common practice, no source.
    /// </summary>
    public const long AtOnceBytes = 32_000_000;

    /// <summary>What an earlier start found, in a file beside the log.</summary>
    private const string Found = LogFile.Name + "-damage";

    /// <summary>What was done, in a file beside the new log until the new log has it: a start that fails after the old one was set aside must not lose why its stations begin tripped.</summary>
    private const string Anew = LogFile.Name + "-begun-anew";

    private const string Tripped =
        "Whether the old one knew of a trip is not known, so every station begins tripped: look at valve, vessel and floor, then reset, and do the proof test again.";

    /// <summary>A full disk leaves an empty file.</summary>
    private const string Unwritten = "the disk had no room to write down what it found";

    private static readonly string[] Parts = ["-shm", "-wal", ""];

    /// <summary>Checks the folder's log (PRAGMA quick_check, unless it is large) and renames it, with what belongs to it, when it is damaged.</summary>
    /// <param name="folder">Where it is, or will be.</param>
    /// <param name="at">For the new name.</param>
    /// <returns>What was done, now or at an earlier start that did not come to tell it, in a sentence; null when there is no log, or a good one.</returns>
    /// <exception cref="LogUnusableException">It is damaged, and can not be moved.</exception>
    public static string? SetAside(string folder, DateTimeOffset at)
    {
        var file = Path.Combine(folder, LogFile.Name);
        if (!File.Exists(file))
        {
            File.Delete(Path.Combine(folder, Found)); // word of a file that somebody has moved away
            return Untold(folder);
        }

        if (Known(folder, file) is not { } damage)
        {
            return Untold(folder);
        }

        var aside = $"night-damaged-{at.UtcDateTime.ToString("yyyyMMdd-HHmmss")}.sqlite";
        var done = $"The log was damaged ({damage}). It was set aside as {aside}, with its -wal file; keep them: most of it can usually be recovered. A new log was begun. {Tripped}";
        try
        {
            Keep(folder, Anew, done);
            foreach (var part in Parts.Where(part => File.Exists(file + part)))
            {
                File.Move(file + part, Path.Combine(folder, aside + part));
            }

            File.Delete(Path.Combine(folder, Found));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            Told(folder);
            throw new LogUnusableException($"the log {file} is damaged ({damage}) and can not be set aside ({e.Message}); move it and its -wal file away to begin a new log, and keep them", e);
        }

        return done;
    }

    /// <summary>The new log has it.</summary>
    public static void Told(string folder)
    {
        try
        {
            File.Delete(Path.Combine(folder, Anew));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Then it is told once more, and the stations begin tripped once more.
        }
    }

    /// <summary>Leaves word for the next start.</summary>
    /// <returns>Whether that could be written.</returns>
    public static bool Remember(string folder, string damage) => Keep(folder, Found, damage);

    /// <summary>
    /// Leaves word for the next start when it was a damaged page that ended this one: of a large log a start looks at no page that it does not need, so without it every start would end there.
    /// </summary>
    public static void Remember(string folder, Exception ended)
    {
        if ((ended as SqliteException ?? ended.InnerException as SqliteException) is { SqliteErrorCode: SQLitePCL.raw.SQLITE_NOTADB or SQLitePCL.raw.SQLITE_CORRUPT } damage)
        {
            Remember(folder, damage.Message);
        }
    }

    private static string? Untold(string folder) => Kept(folder, Anew) switch
    {
        "" => $"The log was damaged, and an earlier start set it aside as night-damaged-*.sqlite; {Unwritten}. A new log was begun. {Tripped}",
        var done => done,
    };

    private static string? Kept(string folder, string name) => File.Exists(Path.Combine(folder, name)) ? File.ReadAllText(Path.Combine(folder, name)) : null;

    /// <summary>The disk may be full: then the room that is held free for alarms is for this.</summary>
    private static bool Keep(string folder, string name, string text)
    {
        for (var tries = 0; tries < 2; tries++)
        {
            try
            {
                File.WriteAllText(Path.Combine(folder, name), text);
                return true;
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                new Reserve(folder, kept: true).Release();
            }
        }

        return false;
    }

    private static string? Known(string folder, string file) =>
        Kept(folder, Found) switch
        {
            null => Damage(folder, whole: new FileInfo(file).Length <= AtOnceBytes),
            "" => $"an earlier start found it; {Unwritten}",
            var found => found,
        };

    /// <summary>What is wrong with it, or null. What is not damage, such as a file that may not be read, is left to whoever opens it.</summary>
    /// <param name="folder">Where it is.</param>
    /// <param name="whole">Whether every page is looked at, or only what tells that it is a log.</param>
    public static string? Damage(string folder, bool whole)
    {
        try
        {
            using var connection = LogFile.OpenForReading(folder, busySeconds: 2);
            using var command = connection.CreateCommand();
            command.CommandText = whole ? "PRAGMA quick_check(1)" : "SELECT count(*) FROM sqlite_schema";
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
