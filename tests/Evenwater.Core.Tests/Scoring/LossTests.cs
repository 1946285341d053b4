using Evenwater.Core.Estimation;
using Evenwater.Core.Scoring;

namespace Evenwater.CoreTests.Scoring;

/// <summary>The scores against values worked by hand and against the closed form of a normal forecast.</summary>
public sealed class LossTests
{
    // Of the standard normal distribution: 5, 25, 50, 75 and 95 % points.
    private static readonly double[] Points = [-1.644854, -0.674490, 0, 0.674490, 1.644854];

    [Fact]
    public void Quantile_loss_of_a_normal_forecast_by_hand() =>
        // Truth at the median: 0.05 x 1.644854 + 0.25 x 0.674490 on either side is 0.250865 twice; twice the mean of five: 0.200692.
        Assert.Equal(0.200692, Loss.Pinball(Normal(1), 3600), 6);

    [Fact]
    public void Quantile_loss_of_a_truth_beyond_the_range_by_hand() =>
        // Truth e times the median, 1 above it: 0.05 x 2.644854 + 0.25 x 1.674490 + 0.5 x 1 + 0.75 x 0.325510 + 0.05 x 0.644854 = 1.327240.
        Assert.Equal(2 * 1.327240 / 5, Loss.Pinball(Normal(1), 3600 * Math.E), 6);

    [Theory]
    [InlineData(0.0, 0.10)]
    [InlineData(0.5, 0.06)]
    [InlineData(1.0, 0.03)]
    [InlineData(2.0, 0.01)]
    [InlineData(-2.0, 0.01)]
    public void The_ranked_probability_score_is_near_the_closed_form_of_a_normal_forecast(double y, double within)
    {
        // Gneiting and Raftery 2007, section 4.2: sd [z (2 Phi(z) - 1) + 2 phi(z) - 1/sqrt(pi)].
        var phi = Math.Exp(-y * y / 2) / Math.Sqrt(2 * Math.PI);
        var exact = 0.4 * ((y * ((2 * Phi(y)) - 1)) + (2 * phi) - (1 / Math.Sqrt(Math.PI)));
        Assert.InRange(Loss.Crps(Normal(0.4), 3600 * Math.Exp(0.4 * y)) / exact, 1 - within, 1 + within);
    }

    [Fact]
    public void The_ranked_probability_score_by_hand() =>
        // Truth at the median; F rises evenly from 0.05 to 0.25 over 0.970364, to 0.5 over 0.674490. The integral of F squared:
        // 0.970364 x (0.0025 + 0.0125 + 0.0625) / 3 + 0.674490 x (0.0625 + 0.125 + 0.25) / 3 = 0.025068 + 0.098363; the same again above.
        Assert.Equal(2 * (0.025068 + 0.098363), Loss.Crps(Normal(1), 3600), 5);

    [Fact]
    public void Of_a_point_forecast_the_ranked_probability_score_is_the_absolute_error()
    {
        var point = new Quantiles(1000, 1000, 1000, 1000, 1000);
        Assert.Equal(Math.Log(3), Loss.Crps(point, 3000), 12);
        Assert.Equal(Math.Log(2), Loss.Crps(point, 500), 12);
        Assert.Equal(0, Loss.Crps(point, 1000), 12);
    }

    [Fact]
    public void What_lies_beyond_48_hours_counts_as_48_hours_and_what_is_closer_than_30_seconds_as_30()
    {
        var never = Quantiles.Never;
        var last = new Quantiles(172_800, 172_800, 172_800, 172_800, 172_800);
        Assert.Equal(Loss.Crps(last, 3600), Loss.Crps(never, 3600), 12);
        Assert.Equal(Loss.Pinball(last, 3600), Loss.Pinball(never, 3600), 12);
        Assert.Equal(0, Loss.Crps(new Quantiles(0, 0, 0, 0, 30), 12), 12);
    }

    [Fact]
    public void A_forecast_that_is_sharper_and_right_scores_better_and_one_that_is_sharper_and_wrong_worse()
    {
        Assert.True(Loss.Crps(Normal(0.2), 3600) < Loss.Crps(Normal(0.4), 3600));
        Assert.True(Loss.Crps(Normal(0.2), 7200) > Loss.Crps(Normal(0.4), 7200));
    }

    private static double Phi(double z) => z switch
    {
        // Tables of the normal distribution.
        0 => 0.5,
        0.5 => 0.6914625,
        1 => 0.8413447,
        2 => 0.9772499,
        -2 => 0.0227501,
        _ => throw new ArgumentOutOfRangeException(nameof(z)),
    };

    /// <summary>Median one hour, so much 1-sigma in ln.</summary>
    private static Quantiles Normal(double sd)
    {
        var q = Points.Select(z => 3600 * Math.Exp(sd * z)).ToArray();
        return new Quantiles(q[0], q[1], q[2], q[3], q[4]);
    }
}
