using Evenwater.Core.Calibration;

namespace Evenwater.CoreTests.Calibration;

/// <summary>What a window of readings may say: worked by hand, and how often it is wrong.</summary>
public class SteadinessTests
{
    [Fact] // no scatter about the line, so the interval is the slope alone: 0.01 a reading x 15 readings of lag = 0.15
    public void A_line_without_scatter_is_judged_by_its_slope_alone()
    {
        Assert.Equal(SteadyState.Steady, Of([.. Enumerable.Range(0, 30).Select(i => 0.01 * i)], 0.151).State);
        Assert.Equal(SteadyState.Moving, Of([.. Enumerable.Range(0, 30).Select(i => 0.01 * i)], 0.149).State);
    }

    [Fact] // 30 readings, alternately 1 up and 1 down, and no memory: residual sd about sqrt(30 / 28) = 1.035, Sxx = 30 x 899 / 12 = 2247.5, slope's sd 0.0218,
           // x 1.701 (28 degrees) x 15 = 0.557; the alternation itself tilts by 15 / 2247.5 = 0.0067 a reading, x 15 = 0.100: 0.657
    public void Scatter_without_a_trend_is_noisy_when_it_could_hide_more_than_is_allowed()
    {
        double[] alternating = [.. Enumerable.Range(0, 30).Select(i => i % 2 == 0 ? -1.0 : 1.0)];
        Assert.Equal(SteadyState.Steady, Of(alternating, 0.67).State);
        Assert.Equal(SteadyState.Noisy, Of(alternating, 0.64).State);
    }

    [Fact] // 60 equal readings of a step of 1/16: they may hide 1.5 / 16 over 59 spacings, x 120 of lag = 0.1907
    public void Equal_readings_tell_no_more_than_the_step_of_the_device()
    {
        double[] equal = [.. Enumerable.Repeat(24.9375, 60)];
        Assert.Equal(SteadyState.Steady, Of(equal, 0.192, 120, 1.0 / 16).State);
        Assert.Equal(SteadyState.Noisy, Of(equal, 0.189, 120, 1.0 / 16).State);
        Assert.Equal(SteadyState.Steady, Of(equal, 0.001, 120).State); // what it would say of a device without a step
    }

    [Fact]
    public void Nothing_is_steady_before_all_readings_are_there()
    {
        var steadiness = new Steadiness(20, 1);
        for (var i = 0; i < 20; i++)
        {
            Assert.Equal(SteadyState.TooFew, steadiness.State);
            steadiness.Add(i % 2);
            Assert.Equal((i + 1) / 2 / (i + 1.0), steadiness.Mean, 12); // of those that there are
        }

        Assert.True(steadiness.IsSteady);
        steadiness.Clear();
        Assert.Equal((0, false), (steadiness.Count, steadiness.IsSteady));
    }

    [Fact]
    public void A_step_within_the_window_is_not_steady_and_is_forgotten_when_it_has_passed_through()
    {
        var steadiness = new Steadiness(20, 0.25);
        for (var i = 0; i < 20; i++)
        {
            steadiness.Add(i % 2 * 0.1);
        }

        for (var i = 0; i < 20; i++)
        {
            Assert.Equal(i == 0, steadiness.IsSteady); // one of twenty tilts by 9.5 / 665 a reading, 0.14, and scatters as much again
            steadiness.Add(1 + (i % 2 * 0.1));
        }

        Assert.True(steadiness.IsSteady);
        Assert.Equal(1.05, steadiness.Mean, 12);
    }

    [Fact] // -1, 1, -1, ...: variance 30/29, over 30; rounding to 0.6 adds 0.36 / 12 that no number of readings takes away
    public void The_spread_of_the_mean_is_that_of_the_readings_and_the_step()
    {
        double[] alternating = [.. Enumerable.Range(0, 30).Select(i => i % 2 == 0 ? -1.0 : 1.0)];
        Assert.Equal(0, Of(alternating, 9).Mean, 12);
        Assert.Equal(Math.Sqrt(1.0 / 29), Of(alternating, 9).SdOfMean, 12);
        Assert.Equal(Math.Sqrt((1.0 / 29) + 0.03), Of(alternating, 9, step: 0.6).SdOfMean, 12);
    }

    [Fact] // readings that stay where they were for ten at a time are worth a few, not sixty
    public void Readings_with_a_memory_are_worth_fewer()
    {
        double[] blocks = [.. Enumerable.Range(0, 60).Select(i => i / 10 % 2 == 0 ? -1.0 : 1.0)];
        double[] mixed = [.. Enumerable.Range(0, 60).Select(i => i % 2 == 0 ? -1.0 : 1.0)];
        Assert.InRange(Of(blocks, 9).SdOfMean / Of(mixed, 9).SdOfMean, Math.Sqrt(60 / 12.0), Math.Sqrt(60));
    }

    [Theory] // the trend of each leaves the mean off by just what is allowed: that may pass for steady in 5 of 100 windows; 6 to 7 do, since memory is itself only estimated
    [InlineData(0, 0.0057, 0.08)]
    [InlineData(0.5, 0.0057, 0.08)]
    [InlineData(0.8, 0.003, 0.08)]
    public void A_trend_at_the_limit_hardly_ever_passes_for_steady_whatever_the_memory_of_the_noise(double memory, double sd, double atMost)
    {
        const double allowed = 0.01;
        var (passed, found) = (0, 0);
        for (var seed = 0; seed < 500; seed++)
        {
            passed += Window(new Random(seed), memory, sd, slope: allowed / 30, allowed) == SteadyState.Steady ? 1 : 0;
            found += Window(new Random(seed), memory, sd, slope: 0, allowed) == SteadyState.Steady ? 1 : 0;
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"memory {memory}: {passed} of 500 at the limit, {found} of 500 still ones");
        Assert.InRange(passed / 500.0, 0, atMost);
        Assert.InRange(found, 50, 500); // or it would never say steady at all
    }

    [Theory] // a thermometer of 1/16 degree, one reading a second, brought from water 3 degrees away; four minutes, slowest lag 120 s
    [InlineData(30, 0)]
    [InlineData(60, 0)]
    [InlineData(90, 0)]
    [InlineData(120, 0)]
    [InlineData(30, 0.02)]
    [InlineData(60, 0.02)]
    [InlineData(120, 0.02)]
    public void A_probe_that_still_nears_its_water_is_not_called_steady_early(double lagSeconds, double noise)
    {
        var (latest, worst) = (0, 0.0);
        for (var seed = 0; seed < 20; seed++)
        {
            var random = new Random(seed);
            var (start, end) = (seed % 2 == 0 ? 3.0 : -3.0, 24 + random.NextDouble());
            var steadiness = new Steadiness(240, 0.1, lagSamples: 120, step: 1.0 / 16);
            var second = 0;
            while (!steadiness.IsSteady)
            {
                var truth = end + (start * Math.Exp(-second++ / lagSeconds));
                steadiness.Add(Math.Round((truth + (noise * Normal(random))) * 16) / 16);
                Assert.InRange(second, 0, 1800);
            }

            Assert.InRange(Math.Abs(start * Math.Exp(-second / lagSeconds)), 0, 0.1); // what is still to go
            worst = Math.Max(worst, Math.Abs(steadiness.Mean - end));
            latest = Math.Max(latest, second);
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"lag {lagSeconds} s, noise {noise}: steady after {latest} s at the latest, mean off by {worst:0.000} at most");
        Assert.InRange(worst, 0, 0.1 + (1.0 / 32)); // the trend's part, and half a step of rounding
    }

    [Fact] // twenty seconds of equal readings, and 0.3 degrees still to go: only who knows of the step does not fall for them
    public void A_window_too_short_for_the_step_never_says_steady()
    {
        var (knowing, unknowing) = (new Steadiness(20, 0.1, 120, 1.0 / 16), new Steadiness(20, 0.1, 120));
        var early = double.NaN;
        for (var second = 0; second < 900; second++)
        {
            var toGo = 3 * Math.Exp(-second / 120.0);
            knowing.Add(Math.Round((24.97 + toGo) * 16) / 16);
            unknowing.Add(Math.Round((24.97 + toGo) * 16) / 16);
            Assert.False(knowing.IsSteady);
            if (double.IsNaN(early) && unknowing.IsSteady) early = toGo;
        }

        Assert.InRange(early, 0.15, 3);
    }

    [Fact]
    public void White_noise_is_found_steady_soon_and_a_creep_of_two_per_cent_a_minute_never()
    {
        var (still, creeping) = (0, 0);
        for (var seed = 0; seed < 200; seed++)
        {
            still += SteadyAfter(seed, creepPerSample: 0) < 90 ? 1 : 0;
            creeping += SteadyAfter(seed, creepPerSample: 0.02 / 60) < 300 ? 1 : 0;
        }

        Assert.InRange(still, 180, 200);
        Assert.Equal(0, creeping);
    }

    [Fact]
    public void A_window_that_can_not_be_is_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new Steadiness(9, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => new Steadiness(20, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => new Steadiness(20, 1, lagSamples: 9)); // a lag below half the window: the bound would not be one
        Assert.Throws<ArgumentOutOfRangeException>(() => new Steadiness(20, 1, step: -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => new Steadiness(20, 1).Add(double.NaN));
    }

    private static SteadyState Window(Random random, double memory, double sd, double slope, double allowed)
    {
        var steadiness = new Steadiness(60, allowed);
        var noise = sd * Normal(random);
        for (var i = 0; i < 60; i++)
        {
            steadiness.Add((slope * i) + noise);
            noise = (memory * noise) + (Math.Sqrt(1 - (memory * memory)) * sd * Normal(random));
        }

        return steadiness.State;
    }

    private static int SteadyAfter(int seed, double creepPerSample)
    {
        var random = new Random(seed);
        var steadiness = new Steadiness(60, 1.645 * 0.003);
        for (var i = 0; i < 300; i++)
        {
            steadiness.Add((creepPerSample * i) + (0.0057 * Normal(random)));
            if (steadiness.IsSteady)
            {
                return i;
            }
        }

        return int.MaxValue;
    }

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static Steadiness Of(double[] values, double allowed, double? lagSamples = null, double step = 0)
    {
        var steadiness = new Steadiness(values.Length, allowed, lagSamples, step);
        Array.ForEach(values, steadiness.Add);
        return steadiness;
    }
}
