using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>The log's one SQLite file: opening it, checking it, bringing its schema up to date.</summary>
internal static class LogFile
{
    public const string Name = "night.sqlite";

    /// <summary>"EVNW": tells our file from any other SQLite file (PRAGMA application_id).</summary>
    private const int ApplicationId = 0x45564E57;

    // sqlite.org, "Write-Ahead Logging", section "The WAL-reset bug": with two connections a checkpoint could damage the file before 3.51.3.
    private static readonly Version LowestSqlite = new(3, 51, 3);

    /// <summary>
    /// Pages kept in memory, KiB (SQLite's own default is 2000). Entries are appended at the end and read there;
    /// a long query pays with a few more reads from the system's cache.
    /// </summary>
    private const int CacheKibibytes = 256;

    /// <summary>An empty log and the files beside it take so much, bytes. Measured: 90 kB, and 32 kB of shared memory.</summary>
    private const long LeastBytes = 200_000;

    /// <summary>The migrations in order; the n-th brings the file to schema n.</summary>
    private static readonly string[] Migrations = ["001_first.sql", "002_sums.sql"];

    /// <summary>The writing connection, with the schema up to date.</summary>
    /// <exception cref="LogUnusableException">The file is damaged, newer, not ours, or not reachable.</exception>
    public static SqliteConnection OpenForWriting(string directory, int busySeconds)
    {
        var file = Path.Combine(directory, Name);
        try
        {
            Directory.CreateDirectory(directory);
            var connection = Connect(file, SqliteOpenMode.ReadWriteCreate, busySeconds);
            try
            {
                RequireVersion(connection.ServerVersion);
                Prepare(connection, file);
                return connection;
            }
            catch
            {
                connection.Dispose();
                throw;
            }
        }
        catch (SqliteException e)
        {
            throw new LogUnusableException(Explain(file, e), e);
        }
        catch (Exception e) when (e is UnauthorizedAccessException or (IOException and not LogUnusableException))
        {
            throw new LogUnusableException($"the log {file} can not be written ({e.Message}); the folder must exist or be possible to make, and belong to the program's user", e);
        }
    }

    /// <summary>A connection that only reads. A log in a folder that can not be written, as on a card that went read-only, is read as it lies when it was closed: who writes to it has a file beside it.</summary>
    /// <exception cref="LogUnusableException">A newer program wrote it.</exception>
    public static SqliteConnection OpenForReading(string directory, int busySeconds)
    {
        var file = Path.Combine(directory, Name);
        var connection = ConnectForReading(file, busySeconds);
        try
        {
            _ = KnownSchema(connection, file);
            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    private static SqliteConnection ConnectForReading(string file, int busySeconds)
    {
        try
        {
            return Connect(file, SqliteOpenMode.ReadOnly, busySeconds);
        }
        catch (SqliteException e) when (e.SqliteErrorCode is SQLitePCL.raw.SQLITE_READONLY or SQLitePCL.raw.SQLITE_CANTOPEN && File.Exists(file) && !File.Exists($"{file}-wal"))
        {
            return Connect($"{new Uri(Path.GetFullPath(file)).AbsoluteUri}?immutable=1", SqliteOpenMode.ReadOnly, busySeconds);
        }
    }

    /// <summary>Refuses a SQLite that could damage the file.</summary>
    /// <exception cref="LogUnusableException">Too old.</exception>
    public static void RequireVersion(string version)
    {
        if (!Version.TryParse(version, out var found) || found < LowestSqlite)
        {
            throw new LogUnusableException(
                $"SQLite {version} is too old: {LowestSqlite} or newer is needed, because earlier ones can damage a log that is read while it is written; "
                + "use the library that comes with the program");
        }
    }

    private static SqliteConnection Connect(string file, SqliteOpenMode mode, int busySeconds)
    {
        var connection = new SqliteConnection(new SqliteConnectionStringBuilder
        {
            DataSource = file,
            Mode = mode,
            Pooling = false,
            DefaultTimeout = busySeconds,
            ForeignKeys = true,
        }.ToString());
        try
        {
            connection.Open();
            connection.Run($"PRAGMA cache_size = -{CacheKibibytes}");
            return connection;
        }
        catch
        {
            connection.Dispose(); // what is tried again and again on a bad disk must let go each time
            throw;
        }
    }

    private static void Prepare(SqliteConnection connection, string file)
    {
        var empty = connection.Number("SELECT count(*) FROM sqlite_schema") == 0;
        if (!empty && connection.Number("PRAGMA application_id") != ApplicationId)
        {
            throw new LogUnusableException($"{file} is a SQLite file, but not a log of this program; move it away or choose another folder");
        }

        var schema = KnownSchema(connection, file);
        connection.Run("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA journal_size_limit = 16777216;");
        for (var next = schema; next < Migrations.Length; next++)
        {
            using var transaction = connection.BeginTransaction();
            connection.Run(Migration(Migrations[next]));
            connection.Run($"PRAGMA application_id = {ApplicationId}; PRAGMA user_version = {next + 1};");
            if (next == 0)
            {
                connection.Run($"INSERT INTO log (identity) VALUES ('{Guid.NewGuid()}')");
            }

            transaction.Commit();
        }
    }

    /// <summary>The schema of a file that this program can read.</summary>
    /// <exception cref="LogUnusableException">A newer program wrote it.</exception>
    private static long KnownSchema(SqliteConnection connection, string file) => (connection.Number("PRAGMA user_version") ?? 0) is var schema && schema <= Migrations.Length
        ? schema
        : throw new LogUnusableException(
            $"the log {file} has schema {schema}; this program knows 1 to {Migrations.Length}; start the newer program, or move the file away to begin a new log");

    /// <summary>What is wrong with the file, and what to do.</summary>
    public static string Explain(string file, SqliteException e) => e.SqliteErrorCode switch
    {
        SQLitePCL.raw.SQLITE_NOTADB or SQLitePCL.raw.SQLITE_CORRUPT =>
            $"the log {file} is damaged ({e.Message}); move it and its -wal file away to begin a new log, and keep them: most of it can usually be recovered",
        SQLitePCL.raw.SQLITE_CANTOPEN => $"the log {file} can not be opened ({e.Message}); check that the folder exists and that the program's user may write there, or copy it with its -wal file to a folder where he may",
        SQLitePCL.raw.SQLITE_READONLY => $"the log {file} is read-only ({e.Message}); give the program's user the file and its folder, or copy it with its -wal file to a folder that can be written, and look at that by --log",
        SQLitePCL.raw.SQLITE_FULL or SQLitePCL.raw.SQLITE_IOERR when IsFull(file) => $"the log {file} can not be used: its disk is full ({e.Message}); make room ('df -h' shows which disk, 'du -xh / | sort -h' what takes it), then start again",
        SQLitePCL.raw.SQLITE_ERROR when e.Message.Contains("no such", StringComparison.Ordinal) => $"the log {file} has other tables than this program's ({e.Message}); start the program that made it, or move it and its -wal file away to begin a new log, and keep them",
        SQLitePCL.raw.SQLITE_BUSY => $"the log {file} is held by another process ({e.Message}); stop that one first",
        _ => $"the log {file} can not be used ({e.Message}); check the disk, or move it and its -wal file away to begin a new log, and keep them",
    };

    /// <summary>Whether there is not even room for the little files that SQLite opens beside it.</summary>
    private static bool IsFull(string file)
    {
        try
        {
            return new DriveInfo(Path.GetDirectoryName(Path.GetFullPath(file))!).AvailableFreeSpace < LeastBytes;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or ArgumentException)
        {
            return false;
        }
    }

    private static string Migration(string name)
    {
        using var stream = typeof(LogFile).Assembly.GetManifestResourceStream($"Evenwater.Log.Migrations.{name}")
            ?? throw new InvalidOperationException($"the migration {name} is not embedded");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
