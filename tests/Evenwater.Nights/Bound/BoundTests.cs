using Evenwater.Core.Estimation;
using Evenwater.Core.Scoring;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>The bound where the answer is known beforehand.</summary>
public sealed class BoundTests(ITestOutputHelper output)
{
    private const double Noise = 0.2;
    private static readonly double[] Times = [0.5, 1, 1.5, 2, 2.5, 3];

    /// <summary>
    /// Two even numbers through a straight line with noise: the posterior is normal, with covariance (I + X'X/s²)⁻¹ and mean that times X'y/s² (Gelman et al.,
    /// "Bayesian Data Analysis", regression with a known variance).
    /// </summary>
    [Fact]
    public void The_walk_finds_the_posterior_of_a_straight_line()
    {
        double[] read = [0.7, 1.2, 1.1, 1.9, 2.0, 2.6];
        double Line(ReadOnlySpan<double> u, int branch, Span<double> surprises)
        {
            var sum = 0.0;
            for (var i = 0; i < Times.Length; i++)
            {
                var z = (read[i] - u[0] - (u[1] * Times[i])) / Noise;
                sum += 0.5 * z * z;
                if (!surprises.IsEmpty)
                {
                    surprises[i] = z;
                }
            }

            return sum;
        }

        var (a, b, c) = (1 + (Times.Length / (Noise * Noise)), Times.Sum() / (Noise * Noise), 1 + (Times.Sum(t => t * t) / (Noise * Noise)));
        var (y, ty) = (read.Sum() / (Noise * Noise), Times.Zip(read, (t, r) => t * r).Sum() / (Noise * Noise));
        var determinant = (a * c) - (b * b);
        double[] mean = [((c * y) - (b * ty)) / determinant, ((a * ty) - (b * y)) / determinant];
        double[] sd = [Math.Sqrt(c / determinant), Math.Sqrt(a / determinant)];

        var peak = Peak.Climb(Line, [0, 0], 0, Times.Length, 5);
        var walk = new PosteriorWalk(Line, peak, [1], default, null, new Chance(3));
        var sample = new List<double[]>();
        for (var i = 0; i < 40_000; i++)
        {
            walk.Step();
            sample.Add(walk.Numbers.ToArray());
        }

        for (var k = 0; k < 2; k++)
        {
            var found = sample.Average(s => s[k]);
            var spread = Math.Sqrt(sample.Average(s => (s[k] - found) * (s[k] - found)));
            output.WriteLine($"{found:0.0000} ({mean[k]:0.0000}), sd {spread:0.0000} ({sd[k]:0.0000})");
            Assert.Equal(mean[k], peak.Top[k], 1e-6);
            Assert.Equal(mean[k], found, 0.05 * sd[k]);
            Assert.Equal(sd[k], spread, 0.05 * sd[k]);
        }
    }

    /// <summary>Wander, constant and noise, two readings: as the normal density with the covariance of their sum, inverted by hand.</summary>
    [Fact]
    public void A_sensors_slow_error_is_as_likely_as_the_normal_density_says()
    {
        const double wander = 0.002;
        const double constant = 0.015;
        const double noise = 1e-6;
        var error = new SlowError(wander, 1200, 0, constant, 120);
        error.Next(0.01, noise);
        error.Next(0.013, noise);

        var one = (wander * wander) + (constant * constant) + noise;
        var both = (wander * wander * Math.Exp(-120.0 / 1200)) + (constant * constant);
        var determinant = (one * one) - (both * both);
        var square = ((one * 0.01 * 0.01) - (2 * both * 0.01 * 0.013) + (one * 0.013 * 0.013)) / determinant;
        Assert.Equal(0.5 * (square + Math.Log(determinant)), error.Unlikely, 1e-9);
    }

    /// <summary>A step and its number are told from each other; the variance is the walk's and a fiftieth of the jumps' together.</summary>
    [Fact]
    public void A_step_with_jumps_has_the_variance_of_both()
    {
        const double walk = 0.006;
        var row = HeavySteps.RowOf(walk);
        Assert.Equal(1.3, HeavySteps.Back(HeavySteps.Of(1.3, row), row).U, 1e-9);
        var square = 0.0;
        const double du = 0.001;
        for (var u = -4.9995; u < 5; u += du)
        {
            square += HeavySteps.Of(u, row) * HeavySteps.Of(u, row) * Normal.Density(u) * du;
        }

        var expected = (walk * walk) + (HeavySteps.JumpSd * HeavySteps.JumpSd * Steps.FlowSeconds / HeavySteps.JumpEverySeconds);
        Assert.Equal(expected, square, 0.03 * expected);
    }

    /// <summary>
    /// A forecast that says the five quantiles of the normal distribution its truth is drawn from loses twice the mean of the densities at them, times its sd:
    /// the integral of the quantile loss of a standard normal number at its own quantile is the density there.
    /// </summary>
    [Fact]
    public void Who_knows_the_law_loses_what_the_law_says_and_any_other_range_loses_more()
    {
        const double sd = 0.2;
        var expected = 2 * sd * new[] { 0.05, 0.25, 0.5, 0.75, 0.95 }.Average(p => Normal.Density(Normal.Inverse(p)));
        var chance = new Chance(11);
        var truths = Enumerable.Range(0, 60_000).Select(_ => 3600 * Math.Exp(sd * chance.Gauss())).ToArray();
        double Loses(double by) => truths.Average(t => Loss.Pinball(Of(3600, by), t));
        Assert.Equal(expected, Loses(sd), 0.01 * expected);
        Assert.True(Loses(1.3 * sd) > Loses(sd) && Loses(0.75 * sd) > Loses(sd));
    }

    private static Quantiles Of(double median, double sd)
    {
        double At(double p) => median * Math.Exp(sd * Normal.Inverse(p));
        return new(At(0.05), At(0.25), median, At(0.75), At(0.95));
    }
}
