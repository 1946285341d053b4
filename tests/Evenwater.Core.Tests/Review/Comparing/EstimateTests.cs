using Evenwater.Core.Review.Comparing;

namespace Evenwater.CoreTests.Review.Comparing;

public class EstimateTests
{
    // NIST/SEMATECH e-Handbook 1.3.6.7.2, columns 0.95 and 0.975 of one side; the first two rows have closed forms.
    [Theory]
    [InlineData(1, 6.314, 12.706)]
    [InlineData(2, 2.920, 4.303)]
    [InlineData(4, 2.132, 2.776)]
    [InlineData(8, 1.860, 2.306)]
    [InlineData(10, 1.812, 2.228)]
    [InlineData(30, 1.697, 2.042)]
    [InlineData(100, 1.660, 1.984)]
    public void Student_s_points_are_those_of_the_handbook(double degrees, double at90, double at95)
    {
        Assert.Equal(at90, StudentCurve.Point(0.10, degrees), 0.00051);
        Assert.Equal(at95, StudentCurve.Point(0.05, degrees), 0.00051);
        Assert.Equal(0.05, StudentCurve.Beyond(-StudentCurve.Point(0.05, degrees), degrees), 1e-9);
    }

    // One degree is Cauchy's: 1 - 2 atan(t) / π. Two: 1 - t / √(2 + t²).
    [Theory]
    [InlineData(0.3)]
    [InlineData(4)]
    [InlineData(60)]
    public void One_and_two_degrees_are_their_closed_forms(double t)
    {
        Assert.Equal(1 - (2 * Math.Atan(t) / Math.PI), StudentCurve.Beyond(t, 1), 1e-9);
        Assert.Equal(1 - (t / Math.Sqrt(2 + (t * t))), StudentCurve.Beyond(t, 2), 1e-9);
    }

    [Fact] // NIST/SEMATECH e-Handbook 7.3.1 by the cars of 1.3.5.3: T = -12.94627 with 136.8750 degrees where the spreads may differ
    public void The_handbook_s_two_kinds_of_cars_differ_as_it_says()
    {
        var (usa, japan) = (new Estimate(20.14458, 6.41470 / Math.Sqrt(249), 248), new Estimate(30.48101, 6.10771 / Math.Sqrt(79), 78));
        var difference = Estimate.Difference(japan, usa);
        Assert.Equal(-12.94627, difference.Value / difference.Sd, 1e-4);
        Assert.Equal(136.8750, difference.Degrees, 1e-2);
    }

    [Fact]
    public void Nothing_is_surer_than_the_probe()
    {
        Assert.Equal(5, new Estimate(1, 3, 4).NoSurerThan(4).Sd, 1e-12);
        Assert.Equal(1.860 * 2, new Estimate(1, 2, 8).HalfWidth, 1e-3);
    }

    // Hollander and Wolfe, Nonparametric Statistical Methods, table 4.1 (also the example of wilcox.test in R): permeability of the chorioamnion at term and
    // earlier; W = 35, one side 0.1272, difference 0.305, 95 % interval -0.15 to 0.76 (from memory; counted anew from all 3003 choices: 0.25441, and 0.9600 held).
    [Fact]
    public void Ranks_differ_as_the_textbook_says()
    {
        var told = RankShift.Of([1.15, 0.88, 0.90, 0.74, 1.21], [0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46], 0.95)!.Value;
        Assert.Equal(0.305, told.Shift, 1e-9);
        Assert.Equal((-0.15, 0.76), (Math.Round(told.Low, 9), Math.Round(told.High, 9)));
        Assert.Equal(1 - 0.03996003996, told.Confidence, 1e-9);
        Assert.Equal(0.2544122544, told.Chance, 1e-9);
    }

    [Fact] // of 20 ways to choose 3 of 6, one has the three highest and one the three lowest: 2 / 20
    public void Three_and_three_are_the_least_that_tell_and_two_and_two_tell_nothing()
    {
        var told = RankShift.Of([1, 2, 3], [10, 11, 12])!.Value;
        Assert.Equal((9, 7, 11), (told.Shift, told.Low, told.High));
        Assert.Equal(0.1, told.Chance, 1e-12);
        Assert.Null(RankShift.Of([1, 2], [10, 11]));
        Assert.Null(RankShift.Of([], [1]));
    }

    [Fact] // ranks 1.5, 1.5, 3 against 4.5, 4.5, 6; the other way round is as far: 2 / 20
    public void Ties_have_their_middle_rank() => Assert.Equal(0.1, RankShift.Of([1, 1, 2], [3, 3, 4])!.Value.Chance, 1e-12);
}
