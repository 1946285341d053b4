using Evenwater.Core.Estimation;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Tests.Log;

/// <summary>What goes, and what stays, when a log holds more than its budget: two nights, of which the second is under way.</summary>
public sealed class RoomTests : IDisposable
{
    private const int Long = 7_300; // s: two blocks of an hour, and a little that is not packed yet

    private const int Few = 8;

    private static readonly LogPace Tidy = LogFolder.Quick with { TidyEvery = 1, MaxCycles = 100_000, MaxOthers = 10_000, Batch = TimeSpan.FromHours(1) };

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void The_oldest_readings_go_with_most_forecasts_of_theirs_and_a_run_under_way_keeps_its_own()
    {
        using (var log = _folder.Open(Tidy))
        {
            var night = new Night(log);
            foreach (var run in new[] { 1, 2 })
            {
                night.RunId = run;
                night.Add(EntryKind.Run, new RunBody("dripping", ""));
                for (var second = 0; second < Long; second++)
                {
                    night.Cycle();
                    if (second % 30 == 0) night.Add(EntryKind.Forecast, new ForecastBody(60, 90, null, 1e4, 2e4, 3e4, 2, 2, 2, 14, 15, 16, 0.01, 1e-9, Health.Ok));
                    if (second % 60 == 0) night.Add(EntryKind.Say, new SayBody("steady", "Even in an hour.", 300));
                    if (second % 100 == 0) night.Add(EntryKind.Event, new EventBody("test", "x"));
                    if (second % 500 == 0) log.Flush();
                }
            }

            log.Flush();
            Settle(log, night);
            Assert.False(log.LacksRoom);
        }

        var (former, gone) = (Run(1), 0L);
        using (var log = _folder.Open(Tidy with { BudgetBytes = 1 }))
        {
            Settle(log, new Night(log) { RunId = 2 });
            Assert.True(log.LacksRoom);
            Assert.Contains("raise the budget", LogText.Of(new LogFigures(1, 1, 1, 1, []) { LacksRoom = log.LacksRoom }), StringComparison.Ordinal);
            gone = log.Reader.GoneUpTo();
        }

        Assert.Equal((Long + (2 * Few), 244, 122), (Count(Run(2), EntryKind.Cycle), Count(Run(2), EntryKind.Forecast), Count(Run(2), EntryKind.Say)));
        Assert.Equal((Long, 244, 122, 73), (Count(former, EntryKind.Cycle), Count(former, EntryKind.Forecast), Count(former, EntryKind.Say), Count(former, EntryKind.Event)));
        Assert.InRange(former.Count(entry => entry.Kind == EntryKind.Cycle && entry.Id <= gone), 7_000, Long);
        Assert.Equal(former.Where(entry => entry.Id > gone || Stays(entry)).Select(entry => entry.Id), Run(1).Select(entry => entry.Id));

        bool Stays(Entry entry) => entry.Kind is EntryKind.Run or EntryKind.Event || (entry.Kind != EntryKind.Cycle && former.Last(other =>
            other.Kind == entry.Kind && other.Id <= gone && (int)(other.At.Seconds / 900) == (int)(entry.At.Seconds / 900)) == entry);
    }

    /// <summary>A few more commits, each of which packs a block or lets one go.</summary>
    private static void Settle(NightLog log, Night night)
    {
        for (var i = 0; i < Few; i++)
        {
            night.Cycle();
            log.Flush();
        }
    }

    private static int Count(List<Entry> entries, EntryKind kind) => entries.Count(entry => entry.Kind == kind);

    private List<Entry> Run(long run)
    {
        using var reader = new LogReader(_folder.Path, 1);
        return [.. reader.ReadRun(run)];
    }
}
