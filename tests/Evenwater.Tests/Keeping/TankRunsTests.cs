using Evenwater.Core.Estimation;
using Evenwater.Core.Review;
using Evenwater.Core.Safety;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Keeping;

/// <summary>What a look back knows of runs, and what it calls now.</summary>
public sealed class TankRunsTests : IDisposable
{
    private static readonly (DateTimeOffset From, DateTimeOffset To) Night = (LogFolder.Evening, LogFolder.Evening.AddHours(1));

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact] // By hand: 2.0 to 2.3 L, 1.3 L drawn off, then 1.0 to 1.4 L: 0.7 L dripped in.
    public async Task A_run_took_what_the_vessel_gained_though_some_was_drawn_off_meanwhile()
    {
        using (var log = _folder.Open())
        {
            var night = new Log.Night(log) { RunId = 1 };
            night.Add(EntryKind.Run, new RunBody("opening", "asked to open"));
            night.Add(EntryKind.Run, new RunBody(Words.Of(Phase.Dripping), ""));
            foreach (var litres in new[] { 2.0, 2.1, 2.3, 1.0, 1.2, 1.4 }) night.Add(EntryKind.Forecast, Holding(litres));
            night.Add(EntryKind.Run, new RunBody(Words.Of(Phase.Holding), "even"));
            foreach (var litres in new[] { 1.4, 1.5 }) night.Add(EntryKind.Forecast, Holding(litres));
            await log.CommitAsync(TestContext.Current.CancellationToken);
        }

        using var spans = new SpanReader(_folder.Path, KeptLog.BusySeconds);
        var run = Assert.Single(TankRuns.Of(spans, "sim-river", Night, replaced: true));
        Assert.Equal(0.7, run.Litres, 1e-9);
        Assert.Equal((LogFolder.Evening.AddSeconds(2), LogFolder.Evening.AddSeconds(9), true), (run.From, run.To, run.Replaced));
        Assert.Empty(TankRuns.Of(spans, "sim-river", (Night.To, Night.To.AddHours(1)), replaced: true));
        Assert.Empty(TankRuns.Of(spans, "sim-lagoon", Night, replaced: true));
    }

    /// <summary>Six weeks of nights have sixty thousand forecasts: held together they took the page's program, by hand, from 105 to 235 MB of the 250 that its unit gives it.</summary>
    [Fact]
    public async Task Forecasts_of_a_run_are_read_one_by_one()
    {
        using (var log = _folder.Open())
        {
            var night = new Log.Night(log) { RunId = 1 };
            foreach (var litre in Enumerable.Range(1, 500)) night.Add(EntryKind.Forecast, Holding(litre));
            night.Add(EntryKind.Forecast, "of a worn card");
            await log.CommitAsync(TestContext.Current.CancellationToken);
        }

        using var spans = new SpanReader(_folder.Path, KeptLog.BusySeconds);
        Assert.Equal(Enumerable.Range(1, 500).Select(litre => (double)litre), Volumes());
        Assert.Equal(1, spans.Damaged);

        var before = GC.GetAllocatedBytesForCurrentThread();
        Assert.Equal(1, Volumes().First());
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 1, 100_000); // each has 400 letters of two bytes

        IEnumerable<double> Volumes() => spans.Volumes("sim-river", (0, long.MaxValue), Night.From, Night.To);
    }

    [Theory]
    [InlineData("armed opening dripping holding finished", 1)]
    [InlineData("finished", 1)] // it began before the span
    [InlineData("armed opening holding abandoned", 0)] // what was to be opened could not be written down
    public async Task A_run_that_never_opened_took_no_water(string phases, int runs)
    {
        using (var log = _folder.Open())
        {
            var night = new Log.Night(log) { RunId = 1 };
            foreach (var phase in phases.Split(' ')) night.Add(EntryKind.Run, new RunBody(phase, ""));
            await log.CommitAsync(TestContext.Current.CancellationToken);
        }

        using var spans = new SpanReader(_folder.Path, KeptLog.BusySeconds);
        Assert.Equal(runs, TankKnown.Of(spans, _folder.Path, "sim-river", [], [], Night.From, Night.To).Count(one => one.Kind == Core.Review.Comparing.ElseKind.Run));
    }

    [Fact]
    public async Task A_look_back_at_a_simulated_station_ends_at_its_own_last_cycle_and_knows_its_runs()
    {
        using (var log = _folder.Open())
        {
            var night = new Log.Night(log) { RunId = 1 };
            for (var i = 0; i < 100; i++) night.Cycle();
            night.Add(EntryKind.Run, new RunBody(Words.Of(Phase.Dripping), ""));
            foreach (var litres in new[] { 2.0, 2.1 }) night.Add(EntryKind.Forecast, Holding(litres));
            await log.CommitAsync(TestContext.Current.CancellationToken);
        }

        Assert.Equal(LogFolder.Evening.AddSeconds(100), LookBack.Now(_folder.Path, "sim-river", Night.To.AddYears(1)));
        var back = LookBack.Read(_folder.Path, "sim-river", Night, TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
        Assert.Equal(new DrippedOut(LogFolder.Evening.AddSeconds(101), Night.To, 0.1, Replaced: false), Assert.Single(back.Happened.Runs) with { Litres = 0.1 });
    }

    private static ForecastBody Holding(double litres) => new(60, 90, null, 1e4, 2e4, 3e4, litres, litres, litres, 14, 15, 16, 0.01, 1e-9, Health.Ok);
}
