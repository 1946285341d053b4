using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>
/// The vessel's probe begins to read less and less: to it the drip seems to have slowed down, and the water rises as before. 2 L at 120 µS/cm filled at
/// 30 mL/min (1.8 L/h) from a tank at 265 µS/cm; the mark is at 6.5 L after 2.5 h, the rim at 7.3 L after 2.94 h.
/// </summary>
public sealed class DriftingProbeTests
{
    private const double PerHour = 0.06;

    private static readonly Prior Bucket = new()
    {
        StartVolumeLitres = 2, StartVolumeRelativeSd = 0.05, BrimLitres = 7.3, FreeboardLitres = 0.8, FlowMillilitresPerMinute = 30,
        ToleranceMicrosiemensPerCm = 20, GainRatioRelativeSd = 0.003, EvaporationMillilitresPerHour = 0,
    };

    [Fact]
    public void A_float_that_turns_wet_is_believed_rather_than_the_probe()
    {
        var latest = default(Forecast);
        Run(Bucket with { FloatHighLitres = 6.3 }, 8700, (_, f) => latest = f);
        Assert.Equal((Health.Degraded, Reason.Disagrees), (latest.Health, latest.VesselReason));
        Assert.InRange(latest.VolumeLitres.P50, 0.95 * Litres(8700), 1.05 * Litres(8700));
    }

    [Fact]
    public void Without_a_float_the_valve_closes_before_the_rim_all_the_same()
    {
        double? closes = null;
        var told = default(Forecast);
        Run(Bucket, 10_500, (t, f) =>
        {
            closes ??= f.BrimProbability > 0.01 ? t : null;
            told = f;
        });
        Assert.True(told.VolumeLitres.P50 < 6.2, $"{told.VolumeLitres}: the probe no longer misleads, and the test tests nothing");
        Assert.NotNull(closes);
        Assert.InRange(closes.Value, 3600, (7.3 - 2) / 1.8 * 3600);
    }

    private static void Run(Prior prior, int seconds, Action<int, Forecast> look)
    {
        var estimator = new Estimator(prior, 1);
        for (var t = 0; t <= seconds; t++)
        {
            var at = MonotonicTime.FromSeconds(t);
            var flicker = 0.002 * ((t * 7919 % 101 / 50.0) - 1);
            var reads = 1 - (PerHour * Math.Max(t - 4800, 0) / 3600.0);
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of((265 - (145 * 2 / Litres(t))) * reads * (1 + flicker), at);
            readings[Channel.TankConductivity] = Reading.Of(265 * (1 - flicker), at);
            if (prior.FloatHighLitres is { } high)
            {
                readings[Channel.FloatHigh] = Reading.Of(Litres(t) >= high ? 1 : 0, at);
            }

            estimator.Step(readings, true, at);
            if (estimator.Evaluations > 0)
            {
                look(t, estimator.Latest);
            }
        }
    }

    private static double Litres(int t) => 2 + (1.8 * t / 3600.0);
}
