using Evenwater.Core.Keeping;
using Evenwater.Log;
using Evenwater.Tests.Daemon;
using Evenwater.Tests.Log;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Keeping;

/// <summary>A worn card gives back a row that is no longer what was written: SQLite sees nothing wrong with the file. Who asks is told so, and not shown a stack trace.</summary>
public sealed class DamagedRowTests : IDisposable
{
    private readonly ProgramUnderTest _program = new();

    public void Dispose() => _program.Dispose();

    [Fact]
    public async Task Every_command_that_reads_the_log_says_in_words_that_it_is_damaged_and_the_book_is_read_all_the_same()
    {
        using (var log = NightLog.Open(_program.State, pace: LogFolder.Quick))
        {
            var night = new Night(log) { RunId = 1 };
            night.Add(EntryKind.Run, new RunBody("dripping", "opened"));
            night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.Feed, By = "Ann", At = LogFolder.Evening, Text = "flakes" }));
            night.Cycle();
            log.Flush();
        }

        using (var other = new SqliteConnection($"Data Source={Path.Combine(_program.State, LogFile.Name)};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = "UPDATE configuration SET json = replace(json, '\"sensors\":', '\u007f')";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }

        foreach (var args in new string[][]
        {
            ["report", "river", "--out", Path.Combine(_program.Folder, "r.html")], ["tank", "river"], ["review", "river"], ["arrival", "river"],
            ["export", "--log", _program.State, "--out", Path.Combine(_program.Folder, "x.csv"), "--as", "csv"],
        })
        {
            var called = await _program.CallAsync(args);
            Assert.True(called.Exit == 2, $"{args[0]}: exit {called.Exit}");
            Assert.Contains("The log", called.Error, StringComparison.Ordinal);
            Assert.DoesNotContain("   at ", called.Error, StringComparison.Ordinal);
        }

        Assert.Contains("flakes", (await _program.CallAsync("journal", "river")).Out, StringComparison.Ordinal);
    }
}
