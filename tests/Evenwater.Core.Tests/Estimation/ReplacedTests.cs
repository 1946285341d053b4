using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;

namespace Evenwater.CoreTests.Estimation;

/// <summary>
/// How much of the vessel's water is the tank's, against the closed forms of a stirred vessel (any text on reactors): a fill keeps V0/V of its first water, an
/// overflow washes it out by exp(-added/V), a draw-off changes nothing. 20 mL/min are 1.2 L/h; the tank has 200 µS/cm.
/// </summary>
public sealed class ReplacedTests
{
    private static readonly Prior Bucket = new()
    {
        StartVolumeLitres = 2, StartVolumeRelativeSd = 0.02, BrimLitres = 12, FreeboardLitres = 1, FlowMillilitresPerMinute = 20, FlowRelativeSd = 0.05,
        ToleranceMicrosiemensPerCm = 110, GainRatioRelativeSd = 0.003, EvaporationMillilitresPerHour = 0,
    };

    [Theory]
    [InlineData(600, false)]
    [InlineData(230, true)]
    public void A_fill_keeps_V0_over_V_of_its_first_water(double bag, bool alike)
    {
        var latest = Run(Bucket, bag, 3600, t => 2 + (1.2 * t / 3600.0), t => 2 / (2 + (1.2 * t / 3600.0)));
        Holds(1 - (2 / 3.2), latest);
        Assert.Equal(alike, latest.JudgedByReplacedFraction);

        // Three quarters at 8 L, after 5 h in all.
        Assert.Equal(alike, latest.ReplacedSeconds is not null);
        if (latest.ReplacedSeconds is { } seconds)
        {
            Assert.InRange(4 * 3600, seconds.P05, seconds.P95);
        }

        Assert.InRange(latest.ReplacedProbability, 0, 0.001);
    }

    [Theory]
    [InlineData(600)]
    [InlineData(230)]
    public void A_standpipe_washes_it_out(double bag)
    {
        // 3 L after 50 min, then 2 h 10 min of 1.2 L/h over the pipe: 2/3 exp(-2.6/3).
        var latest = Run(
            Bucket with { Mode = VesselMode.Standpipe, StandpipeLitres = 3 }, bag, 3 * 3600, t => Math.Min(2 + (1.2 * t / 3600.0), 3),
            t => t <= 3000 ? 2 / (2 + (1.2 * t / 3600.0)) : 2 / 3.0 * Math.Exp(-1.2 * (t - 3000) / 3600 / 3));
        Holds(1 - (2 / 3.0 * Math.Exp(-2.6 / 3)), latest);
    }

    [Theory]
    [InlineData(600)]
    [InlineData(230)]
    public void A_draw_off_changes_nothing_and_makes_what_follows_count_more(double bag)
    {
        // 3.2 L after an hour, 2 L out, 2.4 L after another: 2/3.2 x 1.2/2.4.
        var latest = Run(
            Bucket, bag, 7200, t => t <= 3600 ? 2 + (1.2 * t / 3600.0) : 1.2 + (1.2 * (t - 3600) / 3600.0),
            t => t <= 3600 ? 2 / (2 + (1.2 * t / 3600.0)) : 2 / 3.2 * 1.2 / (1.2 + (1.2 * (t - 3600) / 3600.0)), drawAt: 3600);
        Holds(1 - (2 / 3.2 * 1.2 / 2.4), latest);
    }

    /// <summary>
    /// Twenty hours of 1.2 L/h, of which 19 over a pipe at 3 L: 2/3 exp(-7.7) is left, and the doubt of a drip that nothing shows has grown meanwhile. Water only comes in: a normal law of what was exchanged would
    /// doubt more and more whether three quarters ever were.
    /// </summary>
    [Fact]
    public void What_was_exchanged_is_not_doubted_again()
    {
        var bucket = Bucket with { FlowMillilitresPerMinute = 20, FlowRelativeSd = 0.2, Mode = VesselMode.Standpipe, StandpipeLitres = 3, StartVolumeRelativeSd = 0.1, GainRatioRelativeSd = 0.021 };
        Forecast After(int hours) => Run(bucket, 205, hours * 3600, t => Math.Min(2 + (1.2 * t / 3600.0), 3), t => t <= 3000 ? 2 / (2 + (1.2 * t / 3600.0)) : 2 / 3.0 * Math.Exp(-1.2 * (t - 3000) / 3600 / 3));
        var twenty = After(20);
        Assert.InRange(twenty.ReplacedProbability, Evenness.Sure, 1);
        Assert.InRange(twenty.ReplacedProbability, After(8).ReplacedProbability - 0.01, 1);
        Assert.InRange(twenty.ReplacedFraction.P05, 0.74, 1);
    }

    [Fact]
    public void Waters_that_were_apart_are_not_called_alike_when_they_have_become_so()
    {
        var latest = Run(Bucket, 600, 6 * 3600, t => 2 + (1.2 * t / 3600.0), t => 2 / (2 + (1.2 * t / 3600.0)));
        Assert.Equal(0, latest.MatchSeconds.P50); // 400 x 2 / 9.2 is 87
        Assert.False(latest.JudgedByReplacedFraction);
    }

    [Fact]
    public void Waters_farther_apart_than_the_tolerance_need_a_larger_share()
    {
        // 250 apart of a tolerance of 50: four fifths, not three quarters. The unmatched probes cannot tell 250 of 20000 from nothing.
        var bucket = Bucket with { ToleranceMicrosiemensPerCm = 50, GainRatioRelativeSd = 0.02 };
        var latest = Run(bucket, 20_250, 13_000, t => 2 + (1.8 * t / 3600.0), t => 2 / (2 + (1.8 * t / 3600.0)), tank: 20_000);
        Assert.True(latest.JudgedByReplacedFraction);

        // 13000 s of 1.8 L/h: 8.5 L, 76 % replaced; three quarters are there, four fifths are at 10 L, 3000 s later.
        Assert.InRange(0.7647, latest.ReplacedFraction.P05, latest.ReplacedFraction.P95);
        Assert.InRange(3000, latest.ReplacedSeconds!.Value.P05, latest.ReplacedSeconds!.Value.P95);
        Assert.InRange(latest.ReplacedSeconds!.Value.P50, 1500, 6000); // three quarters would be 0
    }

    private static void Holds(double truth, in Forecast latest)
    {
        Assert.InRange(truth, latest.ReplacedFraction.P05, latest.ReplacedFraction.P95);
        Assert.InRange(latest.ReplacedFraction.P50, truth - 0.02, truth + 0.02);
        Assert.InRange(latest.ReplacedFraction.P95 - latest.ReplacedFraction.P05, 0.001, 0.12);
    }

    private static Forecast Run(
        Prior prior, double bag, int seconds, Func<int, double> litres, Func<int, double> kept, int? drawAt = null, double tank = 200)
    {
        var flow = (litres(1) - litres(0)) * 60_000;
        var estimator = new Estimator(prior with { FlowMillilitresPerMinute = flow }, 1);
        for (var t = 0; t <= seconds; t++)
        {
            var at = MonotonicTime.FromSeconds(t);
            var flicker = 0.002 * (((t * 7919 % 101) / 50.0) - 1);
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of((tank + ((bag - tank) * kept(t))) * (1 + flicker), at);
            readings[Channel.TankConductivity] = Reading.Of(tank * (1 - flicker), at);
            estimator.Step(readings, true, at);
            if (t == drawAt)
            {
                estimator.DrawOff(2, 0.02);
            }
        }

        return estimator.Latest;
    }
}
