using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>
/// What the first minutes may and may not teach. A plain fill is C(t) = Ct + (C0 - Ct) V0 / V(t) (mass balance; any textbook of chemical engineering):
/// flow and volume enter it only by their ratio.
/// </summary>
public sealed class OpeningTests
{
    private const double First = 100;
    private const double Tank = 300;

    private static readonly Prior Bucket = new()
    {
        StartVolumeLitres = 2, StartVolumeRelativeSd = 0.12, BrimLitres = 8, FreeboardLitres = 0.8,
        ToleranceMicrosiemensPerCm = 20, GainRatioRelativeSd = 0.003, EvaporationMillilitresPerHour = 0,
    };

    /// <summary>A probe that answers late makes the drip look slow at first, and must not make the vessel look small for the rest of the night.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(180)]
    [InlineData(300)]
    public void With_a_flow_that_nobody_timed_the_volume_is_the_keepers_own_times_what_the_conductivity_shows(double lateSeconds)
    {
        const double seconds = 2400;
        var told = Run(Bucket, (int)seconds, t => Conductivity(2, 12, Math.Max(t - lateSeconds, 0)));
        var grown = (Tank - First) / (Tank - Conductivity(2, 12, seconds - lateSeconds));
        Assert.InRange(told.VolumeLitres.P50, 0.975 * 2 * grown, 1.025 * 2 * grown);
        Assert.InRange(Math.Log(told.VolumeLitres.P95 / told.VolumeLitres.P05), 0.9 * 2 * 1.645 * 0.12, 1.2 * 2 * 1.645 * 0.12);
    }

    /// <summary>
    /// The probe hangs where the fresh water comes: it is even in no time and then shows nothing, as if the drip had become slow. Who timed the flow at
    /// 15 mL/min (0.9 L/h) from 2 L has 6.8 L after 5.3 h and 8 L after 6.7 h.
    /// </summary>
    [Fact]
    public void A_probe_that_misleads_from_the_start_does_not_let_a_timed_drip_pass_the_rim()
    {
        double? closes = null;
        var told = Run(
            Bucket with { FlowMillilitresPerMinute = 15, StartVolumeRelativeSd = 0.05, FreeboardLitres = 1.2 }, 24_000, t => Conductivity(2, 5, t + 4000),
            (t, f) => closes ??= f.BrimProbability > 0.01 ? t : null);
        Assert.True(told.VolumeLitres.P50 < 6, $"{told.VolumeLitres}: the probe does not mislead, and the test tests nothing");
        Assert.InRange(closes ?? double.PositiveInfinity, 3600, (8 - 2) / 0.9 * 3600);
    }

    /// <summary>
    /// The probe hangs near where the drops fall, so that a share of what it touches is fresh while the drip runs: it looks as if the vessel were smaller. From 2 L at 15 mL/min there are
    /// 4 L after 8000 s. Even to 60 of the tank's 300 it is with 2 L x 200 / 60 = 6.67 L, 10,667 s later.
    /// </summary>
    [Theory]
    [InlineData(0.05)]
    [InlineData(0.1)]
    [InlineData(0.2)]
    public void A_probe_in_the_plume_is_not_taken_for_a_smaller_vessel(double share)
    {
        var told = Run(
            Bucket with { FlowMillilitresPerMinute = 15, ToleranceMicrosiemensPerCm = 60 }, 8000,
            t => Tank - ((Tank - Conductivity(2, 15, t)) * (1 - (share * (1 - Math.Exp(-t / 40))))));
        Assert.InRange(4, told.VolumeLitres.P05, told.VolumeLitres.P95);
        Assert.InRange(10_667, told.MatchSeconds.P50, told.MatchSeconds.P95);
    }

    private static double Conductivity(double litres, double millilitresPerMinute, double seconds) =>
        Tank - ((Tank - First) * litres / (litres + (millilitresPerMinute * seconds / 60_000)));

    private static Forecast Run(Prior prior, int seconds, Func<double, double> vessel, Action<int, Forecast>? look = null)
    {
        var estimator = new Estimator(prior, 1);
        for (var t = 0; t <= seconds; t++)
        {
            var at = MonotonicTime.FromSeconds(t);
            var flicker = 0.001 * ((t * 7919 % 101 / 50.0) - 1);
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of(vessel(t) * (1 + flicker), at);
            readings[Channel.TankConductivity] = Reading.Of(Tank * (1 - flicker), at);
            estimator.Step(readings, true, at);
            if (estimator.Evaluations > 0)
            {
                look?.Invoke(t, estimator.Latest);
            }
        }

        return estimator.Latest;
    }
}
