using Evenwater.Core.Estimation;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights;

/// <summary>Runs alone: processor time is measured, and other tests would be counted in.</summary>
[CollectionDefinition(nameof(Alone), DisableParallelization = true)]
public sealed class Alone;

[Collection(nameof(Alone))]
public sealed class Cost(ITestOutputHelper output)
{
    [Fact]
    public void Twelve_hours_at_1_Hz_cost_under_two_seconds_and_nothing_on_the_heap()
    {
        var night = RiverNight.Of(1);
        var rows = night.Rows.ToArray();
        var estimator = new Estimator(night.Prior, 1);
        var warm = new Estimator(night.Prior, 1);
        for (var i = 0; i < 8000; i++)
        {
            warm.Step(rows[i].Readings, rows[i].ValveOpen, rows[i].At);
        }

        // Processor time, not wall time: other programs share the machine.
        var before = GC.GetAllocatedBytesForCurrentThread();
        var started = Environment.CpuUsage.TotalTime;
        for (var i = 0; i < rows.Length; i++)
        {
            estimator.Step(rows[i].Readings, rows[i].ValveOpen, rows[i].At);
        }

        var seconds = (Environment.CpuUsage.TotalTime - started).TotalSeconds;
        var bytes = GC.GetAllocatedBytesForCurrentThread() - before;
        output.WriteLine($"{estimator.Evaluations} blocks, {rows.Length} steps: {seconds:0.000} s of processor, "
            + $"{1e3 * seconds / estimator.Evaluations:0.000} ms a block; {bytes} bytes allocated");
        Assert.Equal(1440, estimator.Evaluations);
        Assert.InRange(seconds, 0, 2);
        Assert.InRange(bytes, 0, 1024);
    }
}
