using Evenwater.Log;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Log;

public sealed class KillTests : IDisposable
{
    /// <summary>Half of them here and half below; tests/store asks for more.</summary>
    private static int Kills => int.TryParse(Environment.GetEnvironmentVariable("EVENWATER_KILLS"), out var asked) ? asked / 2 : 25;

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Killed_while_writing_no_committed_entry_is_lost_doubled_or_out_of_order()
    {
        var random = new Random(5);
        var before = 0L;
        for (var kill = 0; kill < Kills; kill++)
        {
            var committed = await WriteAndKill(random.Next(3, 120));
            using var log = _folder.Open();
            Assert.Equal("ok", IntegrityCheck());
            Assert.InRange(log.LastId, committed, long.MaxValue);
            Assert.InRange(log.Cursor("follower"), before, log.LastId);

            var after = before;
            while (log.Reader.Read(after, 1000) is { Count: > 0 } page)
            {
                foreach (var entry in page)
                {
                    Assert.Equal(++after, entry.Id);
                    var second = (int)(entry.Id - before);
                    Assert.Equal(second, entry.At.Seconds);
                    Assert.Equal(second % 20 == 0 ? EntryKind.Event : EntryKind.Cycle, entry.Kind);
                    Assert.Equal(entry.Kind == EntryKind.Cycle, entry.Samples is { } raw && raw[Core.Channel.FloatHigh].Reason == Core.Reason.None);
                }
            }

            Assert.Equal(log.LastId, after);
            before = after;
        }
    }

    [Fact]
    public async Task Killed_at_any_moment_nothing_older_than_a_batch_is_lost()
    {
        var batch = TimeSpan.FromMilliseconds(50);

        // For the commit itself and for this process to be told, on a busy machine. Common practice, no source.
        var grace = TimeSpan.FromMilliseconds(350);
        var random = new Random(6);
        var (before, told) = (0L, 0);
        for (var kill = 0; kill < Kills; kill++)
        {
            using var writer = ChildProcess.Pacer(_folder.Path, (int)batch.TotalMilliseconds);
            var appended = new List<(long Id, long At)>();
            var life = TimeSpan.FromMilliseconds(random.Next(350, 800));
            var started = 0L;
            while (started == 0 || System.Diagnostics.Stopwatch.GetElapsedTime(started) < life)
            {
                var line = await writer.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken);
                started = started == 0 ? System.Diagnostics.Stopwatch.GetTimestamp() : started;
                appended.Add((long.Parse(line ?? "the writer ended by itself"), System.Diagnostics.Stopwatch.GetTimestamp()));
            }

            writer.Kill();
            var killed = System.Diagnostics.Stopwatch.GetTimestamp();
            await writer.WaitForExitAsync(TestContext.Current.CancellationToken);
            using var log = _folder.Open();
            var must = appended.LastOrDefault(a => System.Diagnostics.Stopwatch.GetElapsedTime(a.At, killed) > batch + grace).Id;
            Assert.InRange(log.LastId, Math.Max(must, before), long.MaxValue);
            told += must > before ? 1 : 0;
            var after = before;
            while (log.Reader.Read(after, 1000) is { Count: > 0 } page)
            {
                Assert.All(page, entry => Assert.Equal(++after, entry.Id));
            }

            Assert.Equal(log.LastId, after);
            Assert.Equal("ok", IntegrityCheck());
            before = after;
        }

        Assert.True(told > Kills / 2, $"only {told} of {Kills} were old enough to tell anything");
    }

    /// <summary>Lets the other process write until it has told of so many commits, kills it, and gives the last commit it told of.</summary>
    private async Task<long> WriteAndKill(int commits)
    {
        using var writer = ChildProcess.Writer(_folder.Path);
        var last = 0L;
        try
        {
            for (var i = 0; i < commits; i++)
            {
                last = long.Parse(await writer.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken) ?? "the writer ended by itself");
            }
        }
        finally
        {
            writer.Kill();
        }

        // What it printed before it died counts too.
        foreach (var line in (await writer.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken)).Split('\n', StringSplitOptions.RemoveEmptyEntries).SkipLast(1))
        {
            last = long.Parse(line);
        }

        await writer.WaitForExitAsync(TestContext.Current.CancellationToken);
        return last;
    }

    private string IntegrityCheck()
    {
        using var connection = new SqliteConnection($"Data Source={_folder.File};Pooling=False");
        connection.Open();
        using var command = connection.CreateCommand();
        command.CommandText = "PRAGMA integrity_check";
        return (string)command.ExecuteScalar()!;
    }
}
