using Evenwater.Core.Keeping;
using Evenwater.Log;
using Evenwater.Tests.Daemon;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Keeping;

/// <summary>
/// The demo's stations are a day and more behind the computer's clock: what is due, and what "today" is, goes by their own, as the daemon's alarms do. Here it is the
/// evening of 2026-03-14, months ago.
/// </summary>
public sealed class StationTimeTests : IDisposable
{
    private readonly ProgramUnderTest _program = new();

    public StationTimeTests()
    {
        using var log = NightLog.Open(_program.State, pace: LogFolder.Quick);
        var night = new Night(log) { RunId = 1 };
        night.Add(EntryKind.Run, new RunBody("dripping", "opened"));
        night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n1", Kind = NoteKind.Arrival, By = "Ann", At = LogFolder.Evening.AddHours(-2), Arrival = new() { Species = "snails", Count = 6 } }));
        night.Add(EntryKind.Note, new NoteBody(new Note { Id = "n2", Kind = NoteKind.Outcome, By = "Ann", At = LogFolder.Evening.AddHours(-1), Outcome = new() { Arrival = "n1", Run = 1, Look = Look.Release, Alive = 6 } }));
        night.Cycle();
        log.Flush();
    }

    public void Dispose() => _program.Dispose();

    [Fact]
    public async Task What_is_due_goes_by_the_stations_own_clock_in_the_list_and_in_the_report()
    {
        var listed = await _program.CallAsync("arrival", "river");
        Assert.Equal(0, listed.Exit);
        Assert.Contains("24h is due at", listed.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("DUE", listed.Out, StringComparison.Ordinal);

        var page = Path.Combine(_program.Folder, "report.html");
        Assert.Equal(0, (await _program.CallAsync("report", "river", "--log", _program.State, "--out", page)).Exit);
        var report = await File.ReadAllTextAsync(page, TestContext.Current.CancellationToken);
        Assert.Contains("due at", report, StringComparison.Ordinal);
        Assert.DoesNotContain("due since", report, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Today_is_the_stations_own()
    {
        Assert.Equal(0, (await _program.CallAsync("journal", "river", "--add", "feed", "flakes", "--at", "00:01")).Exit);
        var listed = await _program.CallAsync("journal", "river", "--kind", "feed", "--from", "00:00", "--to", "00:02");
        Assert.Contains("2026-03-14 00:01", listed.Out, StringComparison.Ordinal);
        Assert.Equal(0, (await _program.CallAsync("journal", "river", "--add", "trim", "reeds")).Exit); // no daemon runs: just now is the station's own too
        Assert.Contains("2026-03-14 20:00  trim", (await _program.CallAsync("journal", "river", "--kind", "trim")).Out, StringComparison.Ordinal);
        Assert.Equal(0, (await _program.CallAsync("arrival", "river", "--outcome", "24h", "--alive", "6", "--at", "00:01")).Exit);
        Assert.Equal(0, (await _program.CallAsync("tank", "test", "sim-river", "NO3", "10", "--step", "5", "--at", "00:01")).Exit);
        var all = await _program.CallAsync("journal", "river");
        Assert.Contains("2026-03-14 00:01  test", all.Out, StringComparison.Ordinal);
        Assert.Contains("2026-03-14 00:01  outcome", all.Out, StringComparison.Ordinal);
    }
}
