using CsCheck;
using Evenwater.Core;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

/// <summary>The circuit that the software's safety leans on, as the rig models it.</summary>
public class PulseHeldDriverTests
{
    [Fact]
    public void Edges_hold_it_and_a_level_written_over_and_over_does_not() =>
        Gen.Select(Gen.Bool, Gen.Double[0.0, 4.0]).Array[1, 40].Sample(writes =>
        {
            var driver = new PulseHeldDriver();
            double now = 0, lastEdge = double.NegativeInfinity;
            var level = false;
            foreach (var (high, wait) in writes)
            {
                now += wait;
                driver.Write(high, At(now));
                lastEdge = high == level ? lastEdge : now;
                level = high;
                var ahead = now + 0.5;
                Assert.Equal(ahead - lastEdge < 2, driver.IsOpen(At(ahead)));
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
