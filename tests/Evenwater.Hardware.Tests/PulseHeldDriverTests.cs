using CsCheck;
using Evenwater.Core;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

/// <summary>The circuit that the software's safety leans on, as the rig models it.</summary>
public class PulseHeldDriverTests
{
    [Fact]
    public void Edges_hold_it_and_a_level_written_over_and_over_does_not() =>
        Gen.Select(Gen.Bool, Gen.Int[0, 4000]).Array[1, 40].Sample(writes =>
        {
            // Whole milliseconds: just at the edge a sum of doubles and a clock in nanoseconds may round apart.
            var driver = new PulseHeldDriver();
            int now = 0, lastEdge = -100_000;
            var level = false;
            foreach (var (high, waitMilliseconds) in writes)
            {
                now += waitMilliseconds;
                driver.Write(high, At(now / 1000.0));
                lastEdge = high == level ? lastEdge : now;
                level = high;
                var ahead = now + 500;
                Assert.Equal(ahead - lastEdge < 2000, driver.IsOpen(At(ahead / 1000.0)));
            }
        });

    [Theory]
    [InlineData(0, 1)]
    [InlineData(1.5, 1)]
    [InlineData(1.75, 0.5)]
    [InlineData(2, 0)]
    [InlineData(100, 0)]
    public void It_drops_out_within_a_step_in_proportion(double secondsAfterTheEdge, double share)
    {
        var driver = new PulseHeldDriver();
        driver.Write(high: true, At(10));
        Assert.Equal(share, driver.OpenShare(At(10 + secondsAfterTheEdge), 0.5), 1e-9);
    }

    private static MonotonicTime At(double seconds) => MonotonicTime.FromSeconds(seconds);
}
