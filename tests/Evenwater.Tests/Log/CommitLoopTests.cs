using Evenwater.Core;
using Evenwater.Log;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Log;

/// <summary>The committing thread, with a disk that can be held.</summary>
public class CommitLoopTests
{
    [Fact]
    public async Task A_commit_that_hangs_counts_as_lost_until_it_is_done()
    {
        using var disk = new ManualResetEventSlim();
        var pace = new LogPace { Batch = TimeSpan.FromMilliseconds(50), LongestCommit = TimeSpan.FromMilliseconds(150) };
        using var loop = new CommitLoop((_, _) => disk.Wait(), _ => { }, 0, pace, NullLogger.Instance);
        Assert.True(loop.Commits);
        loop.Append(Made(EntryKind.Cycle));
        try
        {
            Assert.True(await BecomesAsync(() => !loop.Commits));
        }
        finally
        {
            // Else the loop's own end would wait for this disk for ever, and a red test would hang.
            disk.Set();
        }

        Assert.True(await BecomesAsync(() => loop.Commits));
        Assert.Equal(1, loop.LastId);
    }

    /// <summary>What ran in since the last commit is not known after a power cut: with the longest batch that may be set it would be ten minutes' worth.</summary>
    [Fact]
    public async Task In_a_run_cycles_wait_no_longer_than_for_the_next_forecast()
    {
        var pace = new LogPace { Batch = TimeSpan.FromMinutes(10), InRun = TimeSpan.FromMilliseconds(100) };
        using var loop = new CommitLoop((_, _) => { }, _ => { }, 0, pace, NullLogger.Instance);
        loop.Append(Made(EntryKind.Cycle));
        await Task.Delay(300, TestContext.Current.CancellationToken);
        Assert.Equal(0, loop.LastId);
        loop.Append(Made(EntryKind.Forecast));
        Assert.True(await BecomesAsync(() => loop.LastId == 2));
    }

    private static Entry Made(EntryKind kind) => new()
    {
        BootId = 1, ConfigurationId = 1, Station = "sim-river", At = MonotonicTime.FromSeconds(1), ClockQuality = ClockQuality.Simulated, Kind = kind, Body = "{}",
    };

    private static async Task<bool> BecomesAsync(Func<bool> so)
    {
        for (var i = 0; i < 250 && !so(); i++)
        {
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }

        return so();
    }
}
