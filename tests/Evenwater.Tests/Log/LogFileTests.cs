using Evenwater.Log;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Log;

public sealed class LogFileTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("3.40.1")]
    [InlineData("3.51.2")]
    [InlineData("unknown")]
    public void A_SQLite_that_can_damage_the_log_is_refused(string version)
    {
        var e = Assert.Throws<LogUnusableException>(() => LogFile.RequireVersion(version));
        Assert.Contains("3.51.3", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void The_SQLite_that_comes_with_the_program_is_new_enough_and_the_file_is_set_to_survive_a_power_cut()
    {
        LogFile.RequireVersion("3.51.3");
        using var connection = LogFile.OpenForWriting(_folder.Path, 1);
        Assert.Equal("wal", Ask(connection, "PRAGMA journal_mode"));
        Assert.Equal(2L, Ask(connection, "PRAGMA synchronous")); // FULL
    }

    [Fact]
    public void A_damaged_file_is_named_and_kept()
    {
        Close_one_log();
        var bytes = File.ReadAllBytes(_folder.File);
        new Random(1).NextBytes(bytes.AsSpan(0, 512));
        File.WriteAllBytes(_folder.File, bytes);
        var e = Assert.Throws<LogUnusableException>(() => _folder.Open());
        Assert.Contains(_folder.File, e.Message, StringComparison.Ordinal);
        Assert.Contains("damaged", e.Message, StringComparison.Ordinal);
        Assert.Equal(bytes, File.ReadAllBytes(_folder.File));
    }

    [Fact]
    public void A_log_of_a_newer_program_is_refused_untouched()
    {
        Close_one_log();
        Change("PRAGMA user_version = 9");
        var e = Assert.Throws<LogUnusableException>(() => _folder.Open());
        Assert.Contains("schema 9; this program knows 1 to 2", e.Message, StringComparison.Ordinal);
    }

    /// <summary>A program of before the rows of readings carried a check sum knows schema 1 alone, and calls each such row damaged; by this number it says what is so. The log itself stays what it was.</summary>
    [Fact]
    public void A_log_of_before_the_check_sums_takes_the_number_that_keeps_a_program_of_then_from_it()
    {
        Close_one_log();
        Change("PRAGMA user_version = 1");
        _folder.Open().Dispose();
        using var connection = LogFile.OpenForReading(_folder.Path, 1);
        Assert.Equal((2, 1), (connection.Number("PRAGMA user_version"), connection.Number("SELECT count(*) FROM log")));
    }

    [Fact]
    public void A_log_of_other_tables_is_told_as_such_and_keeps_its_number()
    {
        Close_one_log();
        Change("PRAGMA user_version = 1; DROP TABLE batch");
        Assert.Contains("has other tables than this program's", Assert.Throws<LogUnusableException>(() => _folder.Open()).Message, StringComparison.Ordinal);
        using var connection = LogFile.OpenForReading(_folder.Path, 1);
        Assert.Equal(1, connection.Number("PRAGMA user_version"));
    }

    /// <summary>Who only looks was told to check the disk, or to move the file away: it is whole, and the newer program reads it.</summary>
    [Fact]
    public void A_log_of_a_newer_program_is_told_as_such_to_those_who_only_read_it()
    {
        Close_one_log();
        Change("PRAGMA user_version = 99; ALTER TABLE entry RENAME TO happening");
        foreach (var look in new Action[] { () => new LogReader(_folder.Path, 1).LastId(), () => LogOrigin.Read(_folder.Path, 1), () => new History(_folder.Path).Dispose() })
        {
            Assert.Contains("has schema 99; this program knows 1 to 2; start the newer program", Assert.Throws<LogUnusableException>(look).Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Another_program_s_SQLite_file_is_refused()
    {
        Change("CREATE TABLE other (x)");
        var e = Assert.Throws<LogUnusableException>(() => _folder.Open());
        Assert.Contains("not a log of this program", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_that_is_a_file_is_a_clear_error()
    {
        var file = Path.Combine(_folder.Path, "in-the-way");
        File.WriteAllText(file, "");
        var e = Assert.Throws<LogUnusableException>(() => NightLog.Open(file));
        Assert.Contains(file, e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Each_log_has_an_identity_of_its_own_that_lasts()
    {
        string first;
        using (var log = _folder.Open())
        {
            first = log.Reader.Identity();
        }

        using var again = _folder.Open();
        using var other = new LogFolder();
        using var another = other.Open();
        Assert.Equal(first, again.Reader.Identity());
        Assert.NotEqual(first, another.Reader.Identity());
    }

    private void Close_one_log()
    {
        using var log = _folder.Open();
        new Night(log).Cycle();
    }

    private void Change(string sql)
    {
        using var connection = new SqliteConnection($"Data Source={_folder.File};Pooling=False");
        connection.Open();
        Ask(connection, sql);
    }

    private static object? Ask(SqliteConnection connection, string sql)
    {
        using var command = connection.CreateCommand();
        command.CommandText = sql;
        return command.ExecuteScalar();
    }
}
