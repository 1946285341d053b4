using CsCheck;
using Evenwater.Core.Water;

namespace Evenwater.CoreTests.Water;

public class LinearCompensationTests
{
    [Theory] // by hand: 1000 / (1 + 0.02 x (15 - 25)) = 1250
    [InlineData(1000, 15, 0.02, 1250)]
    [InlineData(1000, 25, 0.02, 1000)]
    [InlineData(1100, 30, 0.02, 1000)]
    public void The_line_is_the_line(double kappa, double celsius, double alpha, double at25)
        => Assert.Equal(at25, LinearCompensation.To25(kappa, celsius, alpha), 9);

    [Theory] // linear / natural water - 1, percent, by independent arithmetic on the ISO 7888 table
    [InlineData(0.0191, 5, -1.5)]
    [InlineData(0.0191, 10, -1.9)]
    [InlineData(0.0191, 20, -0.9)]
    [InlineData(0.0191, 30, 1.1)]
    [InlineData(0.020, 5, 1.4)]
    [InlineData(0.020, 10, 0.0)]
    [InlineData(0.020, 20, -0.4)]
    [InlineData(0.021, 5, 4.9)]
    [InlineData(0.021, 10, 2.2)]
    public void How_far_it_leaves_the_natural_water_function_is_known(double alpha, double celsius, double percent)
        => Assert.Equal(percent, 100 * ((LinearCompensation.FactorTo25(celsius, alpha) / NaturalWater.FactorTo25(celsius)) - 1), 0.06);

    [Fact]
    public void There_and_back_is_the_same_water()
        => Gen.Select(Gen.Double[0, 100_000], Gen.Double[-10, 70], Gen.Double[0.005, 0.03]).Sample((kappa, celsius, alpha) =>
            Math.Abs(LinearCompensation.From25(LinearCompensation.To25(kappa, celsius, alpha), celsius, alpha) - kappa) <= 1e-9 * Math.Max(1, kappa));

    [Fact]
    public void A_line_that_has_crossed_zero_is_held_positive()
        => Assert.Equal(20, LinearCompensation.FactorTo25(-100, 0.02), 9);
}
