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
}
