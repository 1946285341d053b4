using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

/// <summary>The two probes are put back the wrong way round in mid-run.</summary>
public sealed class ExchangeTests
{
    private static readonly Prior Bucket = new()
    {
        StartVolumeLitres = 2, StartVolumeRelativeSd = 0.05, BrimLitres = 12, FreeboardLitres = 1, FlowMillilitresPerMinute = 20,
        ToleranceMicrosiemensPerCm = 30, EvaporationMillilitresPerHour = 0,
    };

    /// <summary>Both leap, and the screen believes neither for two minutes, or one of them three minutes later than the other.</summary>
    [Theory]
    [InlineData(0, 0)]
    [InlineData(120, 120)]
    [InlineData(30, 210)]
    [InlineData(210, 30)]
    public void They_are_told_and_exchanged_and_the_forecast_goes_on(int vesselOutSeconds, int tankOutSeconds)
    {
        var steady = Run(Bucket, at: int.MaxValue, 0, 0, out _);
        var swapped = Run(Bucket, at: 3600, vesselOutSeconds, tankOutSeconds, out var told);
        Assert.Equal(ForecastEvents.Swapped, told & (ForecastEvents.Swapped | ForecastEvents.TankChange));
        Assert.True(swapped.ProbesSwapped);
        Assert.Equal(Health.Degraded, swapped.Health);
        Assert.InRange(swapped.VolumeLitres.P50, 0.97 * steady.VolumeLitres.P50, 1.03 * steady.VolumeLitres.P50);
        Assert.InRange(swapped.MatchSeconds.P50, 0.9 * steady.MatchSeconds.P50, 1.1 * steady.MatchSeconds.P50);
    }

    /// <summary>A probe that follows its water slowly comes to the other's over minutes, while the quicker one is there at once: no water change, and not even.</summary>
    [Theory]
    [InlineData(45, 5)]
    [InlineData(5, 45)]
    [InlineData(150, 5)]
    [InlineData(5, 150)]
    [InlineData(150, 150)]
    public void Probes_that_lag_are_told_as_well(int vesselLagSeconds, int tankLagSeconds)
    {
        var swapped = Run(Bucket, at: 3590, 0, 0, out var told, vesselLagSeconds, tankLagSeconds);
        Assert.Equal(ForecastEvents.Swapped, told & (ForecastEvents.Swapped | ForecastEvents.TankChange));
        Assert.True(swapped.ProbesSwapped);
        Assert.True(swapped.MatchSeconds.P05 > 3600, $"{swapped.MatchSeconds}");
    }

    /// <summary>Both leap towards each other and stay where they are: whatever that is, after eight minutes it is heard.</summary>
    [Fact]
    public void Two_that_leap_and_do_not_arrive_are_not_waited_for_for_ever()
    {
        var estimator = new Estimator(Bucket, 1);
        var told = ForecastEvents.None;
        for (var t = 0; t <= 3600 + 1800; t++)
        {
            var leapt = t < 3600 ? 0 : 0.4 * (InVessel(3600) - 200);
            var readings = Readings.None();
            var at = MonotonicTime.FromSeconds(t);
            readings[Channel.VesselConductivity] = Reading.Of((InVessel(t) - leapt) * Flicker(t), at);
            readings[Channel.TankConductivity] = Reading.Of((200 + leapt) * Flicker(t + 7), at);
            estimator.Step(readings, true, at);
            told |= estimator.Latest.Events;
        }

        Assert.False(told.HasFlag(ForecastEvents.Swapped));
        Assert.NotEqual(ForecastEvents.None, told & (ForecastEvents.TankChange | ForecastEvents.ProbeVessel | ForecastEvents.ProbeTank));
    }

    /// <summary>A tank that has really become the vessel's water, beside a dead vessel probe, is waited for no longer than five minutes.</summary>
    [Fact]
    public void One_probe_alone_does_not_keep_the_other_waiting_for_ever()
    {
        var estimator = new Estimator(Bucket, 1);
        var told = ForecastEvents.None;
        for (var t = 0; t <= 3600 + 1200; t++)
        {
            var readings = Readings.None();
            var at = MonotonicTime.FromSeconds(t);
            readings[Channel.VesselConductivity] = t < 3600 ? Reading.Of(InVessel(t) * Flicker(t), at) : Reading.Missing(Reason.NoAnswer, at);
            readings[Channel.TankConductivity] = Reading.Of((t < 3600 ? 200 : InVessel(3600)) * Flicker(t + 7), at);
            estimator.Step(readings, true, at);
            told |= estimator.Latest.Events;
        }

        Assert.False(told.HasFlag(ForecastEvents.Swapped));
        Assert.True(told.HasFlag(ForecastEvents.TankChange) || told.HasFlag(ForecastEvents.ProbeTank), $"{told}");
    }

    private static Forecast Run(Prior prior, int at, int vesselOutSeconds, int tankOutSeconds, out ForecastEvents told, int vesselLagSeconds = 0, int tankLagSeconds = 0)
    {
        var estimator = new Estimator(prior, 1);
        told = ForecastEvents.None;
        var (inVessel, inTank) = (InVessel(0), 200.0); // what each probe feels
        for (var t = 0; t <= 7200; t++)
        {
            var now = MonotonicTime.FromSeconds(t);
            inVessel += Follow(vesselLagSeconds) * ((t < at ? InVessel(t) : 200) - inVessel);
            inTank += Follow(tankLagSeconds) * ((t < at ? 200 : InVessel(t)) - inTank);
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = t >= at && t < at + vesselOutSeconds ? Reading.Missing(Reason.TooFast, now) : Reading.Of(inVessel * Flicker(t), now);
            readings[Channel.TankConductivity] = t >= at && t < at + tankOutSeconds ? Reading.Missing(Reason.TooFast, now) : Reading.Of(inTank * Flicker(t + 7), now);
            estimator.Step(readings, true, now);
            told |= estimator.Latest.Events;
        }

        return estimator.Latest;
    }

    private static double Follow(int lagSeconds) => lagSeconds == 0 ? 1 : 1 - Math.Exp(-1.0 / lagSeconds);

    /// <summary>2 L at 600 µS/cm, 1.2 L/h of 200 µS/cm.</summary>
    private static double InVessel(int t) => 200 + (400 * 2 / (2 + (1.2 * t / 3600.0)));

    private static double Flicker(int t) => 1 + (0.002 * ((t * 7919 % 101 / 50.0) - 1));
}
