using Evenwater.Core.Estimation;
using Evenwater.Hardware.Trace;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights;

/// <summary>Runs alone: processor time is measured, and other tests would be counted in.</summary>
[CollectionDefinition(nameof(Alone), DisableParallelization = true)]
public sealed class Alone;

[Collection(nameof(Alone))]
public sealed class Cost(ITestOutputHelper output)
{
    private const int Runs = 5;

    /// <summary>
    /// Processor time, not wall time, and the cheapest of five: other programs share the machine. The fifth is promised of an idle one, and asserted with
    /// EVENWATER_IDLE=1; caches shared with busy neighbours double it.
    /// </summary>
    [Fact]
    public void A_block_costs_a_fifth_of_a_millisecond_a_cycle_ten_microseconds_and_neither_anything_on_the_heap()
    {
        var rows = RiverNight.Of(1).Rows.ToArray();
        var (blockMilliseconds, cycleMicroseconds, bytes) = (double.PositiveInfinity, double.PositiveInfinity, 0L);
        Spend(rows, 1);
        for (var run = 0; run < Runs; run++)
        {
            var (seconds, blocks, allocated) = Spend(rows, 1);
            var dense = Spend(rows, 10);
            Assert.Equal(1440, blocks);
            Assert.Equal(blocks, dense.Blocks);
            blockMilliseconds = Math.Min(blockMilliseconds, 1e3 * seconds / blocks);
            cycleMicroseconds = Math.Min(cycleMicroseconds, 1e6 * (dense.Seconds - seconds) / (9 * rows.Length));
            bytes = Math.Max(bytes, allocated);
        }

        output.WriteLine($"a block with its 30 cycles {blockMilliseconds:0.000} ms, a cycle {cycleMicroseconds:0.00} us, {bytes} bytes");
        Assert.InRange(blockMilliseconds, 0.01, Environment.GetEnvironmentVariable("EVENWATER_IDLE") == "1" ? 0.2 : 0.5);
        Assert.InRange(cycleMicroseconds, -1, 10); // a difference of two measurements
        Assert.Equal(0, bytes);
    }

    /// <summary>12 h with every row taken <paramref name="times"/> times within its second.</summary>
    private static (double Seconds, long Blocks, long Bytes) Spend(TraceRow[] rows, int times)
    {
        var estimator = new Estimator(RiverNight.Of(1, hours: 1).Prior, 1);
        var before = GC.GetAllocatedBytesForCurrentThread();
        var started = Environment.CpuUsage.TotalTime;
        foreach (ref readonly var row in rows.AsSpan())
        {
            for (var i = 0; i < times; i++)
            {
                estimator.Step(row.Readings, row.ValveOpen, row.At.Plus((double)i / times));
            }
        }

        return ((Environment.CpuUsage.TotalTime - started).TotalSeconds, estimator.Evaluations, GC.GetAllocatedBytesForCurrentThread() - before);
    }
}
