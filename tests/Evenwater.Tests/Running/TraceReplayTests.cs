using Evenwater.Core.Safety;
using Evenwater.Hardware.Trace;
using Evenwater.Running;

namespace Evenwater.Tests.Running;

/// <summary>Traces through the cycle.</summary>
public sealed class TraceReplayTests
{
    public static TheoryData<string> Traces =>
        new(Directory.EnumerateFiles(Folder, "*.meta.json").Select(f => Path.GetFileName(f)[..^".meta.json".Length]).Order(StringComparer.Ordinal));

    private static string Folder => Path.Combine(Documents.Repository.Root, "tests", "Evenwater.Nights", "traces");

    [Theory]
    [MemberData(nameof(Traces))]
    public void A_float_that_a_trace_does_not_tell_of_is_not_a_lost_switch(string name)
    {
        var prior = TracePrior.Read(Path.Combine(Folder, $"{name}.meta.json"));
        using var trace = TraceFile.Open(Path.Combine(Folder, $"{name}.csv.gz"));
        var outcome = TraceReplay.Run(trace, TraceStation.Of(prior), prior, _ => { }).Decision;
        Assert.NotEqual(Trip.SwitchLost, outcome.Trip);
        Assert.True(outcome.ClosedAt is not { } at || at > 60, $"{outcome.Trip} at {outcome.ClosedAt} s");
    }

    /// <summary>The row before a gap ends a block that nothing has ended yet, and is itself late enough for the forecast before it to be told again.</summary>
    [Fact]
    public void Of_one_moment_a_trace_with_gaps_tells_one_forecast()
    {
        var name = Traces.First().Data;
        var prior = TracePrior.Read(Path.Combine(Folder, $"{name}.meta.json"));
        using var trace = TraceFile.Open(Path.Combine(Folder, $"{name}.csv.gz"));
        double[] times = [5, 15, 25, 45, 65, 70, 75, 95, 105, 130, 225, 235, 250, 255, 260, 280, 315, 325];
        var rows = trace.Rows().TakeWhile(r => r.Seconds < 400).Where(r => times.Contains(r.Seconds)).ToArray();
        var told = new List<double>();
        TraceReplay.Run(rows, TraceStation.Of(prior), prior, e => told.Add(e.Seconds));
        Assert.Contains(130, told);
        Assert.Equal(told.Distinct().Order(), told);
        Assert.True(told.Count > 5);
    }
}
