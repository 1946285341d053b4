using Evenwater.Log;
using Microsoft.Data.Sqlite;

namespace Evenwater.Tests.Log;

public sealed class KillTests : IDisposable
{
    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Killed_while_writing_no_committed_entry_is_lost_doubled_or_out_of_order()
    {
        var random = new Random(5);
        var before = 0L;
        for (var kill = 0; kill < 6; kill++)
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
