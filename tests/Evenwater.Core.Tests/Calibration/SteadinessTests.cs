using Evenwater.Core.Calibration;

namespace Evenwater.CoreTests.Calibration;

/// <summary>The trend test of Mann (1945) and Kendall (1975), worked by hand, and what it lets through.</summary>
public class SteadinessTests
{
    [Fact] // every later one is larger: S = 45 pairs; variance 10 x 9 x 25 / 18 = 125; (45 - 1) / sqrt(125) = 3.9355
    public void Ten_values_that_only_rise_have_the_score_worked_by_hand() => Assert.Equal(3.9355, Of([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]).MannKendall(), 4);

    [Fact] // 2 1 4 3 6 5 8 7 10 9: of 45 pairs 5 fall, S = 35; 34 / sqrt(125) = 3.0411
    public void Ten_values_that_rise_by_twos_have_the_score_worked_by_hand() => Assert.Equal(3.0411, Of([2, 1, 4, 3, 6, 5, 8, 7, 10, 9]).MannKendall(), 4);

    [Fact] // of 45 pairs 25 rise and 20 fall, S = 5; 4 / sqrt(125) = 0.3578
    public void A_swing_that_dies_away_has_hardly_a_trend() => Assert.Equal(0.3578, Of([1, 10, 2, 9, 3, 8, 4, 7, 5, 6]).MannKendall(), 4);

    [Fact]
    public void Nothing_is_steady_before_all_samples_are_there()
    {
        var steadiness = new Steadiness(20, 1);
        for (var i = 0; i < 20; i++)
        {
            Assert.False(steadiness.IsSteady);
            steadiness.Add(i % 2);
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

        Assert.True(steadiness.IsSteady);
        for (var i = 0; i < 20; i++)
        {
            Assert.Equal(i is <= 2 or >= 18, steadiness.IsSteady); // two of ten move a mean by 0.2, three by 0.3
            steadiness.Add(1 + (i % 2 * 0.1));
        }

        Assert.True(steadiness.IsSteady);
        Assert.Equal(1.05, steadiness.Mean, 12);
    }

    [Fact]
    public void The_mean_and_its_spread_are_those_of_the_samples() // 1, 2, 3, 4, ..., 10: mean 5.5, variance 55/6, over 10
    {
        var steadiness = Of([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
        Assert.Equal(5.5, steadiness.Mean, 12);
        Assert.Equal(Math.Sqrt(55.0 / 6 / 10), steadiness.SdOfMean, 12);
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
        Assert.Equal(0, creeping); // of one per cent a minute about half are let through within five minutes: half of that is the error it makes
    }

    private static int SteadyAfter(int seed, double creepPerSample)
    {
        var random = new Random(seed);
        var steadiness = new Steadiness(60, 0.003);
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

    private static Steadiness Of(double[] values)
    {
        var steadiness = new Steadiness(values.Length, 100);
        Array.ForEach(values, steadiness.Add);
        return steadiness;
    }
}
