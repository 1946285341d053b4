using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>
/// The vessel's probe reads otherwise all at once, as under an air bubble or when somebody hangs it elsewhere: the water has not changed. 2 L at 120 µS/cm filled at 30 mL/min (1.8 L/h)
/// from a tank at 265 µS/cm, mixed at once (V c = V0 c0 + (V - V0) ct); a bubble lowers what is read, by shares that are common practice, no source.
/// </summary>
public sealed class ShiftedProbeTests
{
    private static readonly Prior Bucket = new()
    {
        StartVolumeLitres = 2, StartVolumeRelativeSd = 0.1, BrimLitres = 12, FreeboardLitres = 1, FlowMillilitresPerMinute = 30,
        ToleranceMicrosiemensPerCm = 20, EvaporationMillilitresPerHour = 0,
    };

    /// <summary>The water is the same, so that what is estimated is nearly what it is with the probe left alone: by hand 4.1 L after 4200 s and 6.5 L after 9000 s, 30 mL/min.</summary>
    [Theory]
    [InlineData(0.985, 0.03, 0.1)]
    [InlineData(0.97, 0.03, 0.1)]
    [InlineData(1.03, 0.03, 0.1)]
    [InlineData(0.9, 0.1, 0.25)]
    public void What_the_probe_alone_does_is_not_taken_for_the_drips_doing(double reads, double litres, double flow)
    {
        foreach (var seconds in (ReadOnlySpan<int>)[4200, 9000])
        {
            var (alone, shifted) = (Run(seconds, _ => 1), Run(seconds, t => t >= 3600 ? reads : 1));
            Assert.InRange(Litres(seconds), alone.VolumeLitres.P05, alone.VolumeLitres.P95);
            Assert.InRange(shifted.VolumeLitres.P50 / alone.VolumeLitres.P50, 1 - litres, 1 + litres);
            Assert.InRange(shifted.FlowMillilitresPerMinute.P50 / alone.FlowMillilitresPerMinute.P50, 1 - flow, 1 + flow);
            Assert.Equal(Reason.None, shifted.VesselReason);
        }
    }

    /// <summary>A bubble comes and goes each quarter of an hour for three hours.</summary>
    [Fact]
    public void Neither_are_bubbles_that_come_and_go()
    {
        var (alone, bubbles) = (Run(14_400, _ => 1), Run(14_400, t => t > 1800 && t / 900 % 2 == 1 ? 0.97 : 1));
        Assert.InRange(bubbles.VolumeLitres.P50 / alone.VolumeLitres.P50, 0.9, 1.1);
        Assert.InRange(bubbles.FlowMillilitresPerMinute.P50 / alone.FlowMillilitresPerMinute.P50, 0.75, 1.25);
    }

    /// <summary>In the first half minute the tank's probe hangs in another water, as in its storage cup: the next block decides, not the relock after five minutes.</summary>
    [Fact]
    public void When_the_first_block_was_the_odd_one_the_next_begins_anew()
    {
        var latest = Run(180, _ => 1, t => t < 31 ? 0.6 : 1);
        Assert.Equal((Health.Ok, Reason.None, false), (latest.Health, latest.TankReason, latest.ProbesSwapped));
        Assert.InRange(latest.FlowMillilitresPerMinute.P50, 24, 36);
    }

    private static Forecast Run(int seconds, Func<int, double> reads, Func<int, double>? tank = null)
    {
        var estimator = new Estimator(Bucket, 1);
        for (var t = 0; t <= seconds; t += 5)
        {
            var at = MonotonicTime.FromSeconds(t);
            var flicker = 0.004 * ((t * 7919 % 101 / 50.0) - 1);
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of((265 - (145 * 2 / Litres(t))) * reads(t) * (1 + flicker), at);
            readings[Channel.TankConductivity] = Reading.Of(265 * (1 - flicker) * (tank?.Invoke(t) ?? 1), at);
            estimator.Step(readings, true, at);
        }

        return estimator.Latest;
    }

    private static double Litres(int t) => 2 + (1.8 * t / 3600.0);
}
