using Evenwater.Core.Calibration;

namespace Evenwater.CoreTests.Calibration;

/// <summary>Lines and t points against what others certified or tabulated.</summary>
public class LeastSquaresTests
{
    // NIST StRD, linear regression, data set Norris (calibration of ozone monitors), as several public copies that agree have it.
    private static readonly double[] NorrisX =
    [
        0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5, 11.6,
        556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
    ];

    private static readonly double[] NorrisY =
    [
        0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9, 10.8,
        557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
    ];

    [Fact]
    public void The_line_through_Norris_data_is_the_certified_one()
    {
        var line = StraightLine.Fit(NorrisX, NorrisY);
        var residual = line.ResidualSd!.Value;
        Assert.Equal(1.00211681802045, line.Slope, 1e-13);
        Assert.Equal(-0.262323073774029, line.Intercept, 1e-11);
        Assert.Equal(0.884796396144373, residual, 1e-12);
        Assert.Equal(0.429796848199937e-3, line.SlopeSd(residual), 1e-15);
        Assert.Equal(0.232818234301152, line.InterceptSd(residual), 1e-12);
        Assert.Equal(26.6173985294224, line.SumSquares, 1e-10);
    }

    [Fact] // the same data a million further up: the slope must not lose what the sums about zero would
    public void Readings_that_are_large_and_differ_little_keep_their_slope() =>
        Assert.Equal(1.00211681802045, StraightLine.Fit(NorrisX, [.. NorrisY.Select(y => y + 1e6)]).Slope, 1e-9);

    [Fact]
    public void Two_points_have_a_line_and_no_residual()
    {
        var line = StraightLine.Fit([1, 3], [10, 20]);
        Assert.Equal((5.0, 5.0), (line.Slope, line.Intercept));
        Assert.Null(line.ResidualSd);
    }

    [Theory]
    [InlineData(new double[] { 1 }, new double[] { 1 })]
    [InlineData(new double[] { 2, 2, 2 }, new double[] { 1, 2, 3 })]
    [InlineData(new double[] { 1, 2 }, new double[] { 1 })]
    [InlineData(new double[] { 1, double.NaN }, new double[] { 1, 2 })]
    public void What_has_no_line_is_refused(double[] x, double[] y) => Assert.Throws<ArgumentException>(() => StraightLine.Fit(x, y));

    [Theory] // closed forms: tan(0.45 pi), 0.9 sqrt(2 / 0.19); the rest NIST/SEMATECH e-Handbook 1.3.6.7.2 (from memory), rows the table here leaves out
    [InlineData(1, 6.3138, 0.001)]
    [InlineData(2, 2.9200, 0.001)]
    [InlineData(7, 1.895, 0.004)]
    [InlineData(12, 1.782, 0.004)]
    [InlineData(25, 1.708, 0.004)]
    [InlineData(40, 1.684, 0.004)]
    [InlineData(58, 1.672, 0.004)]
    [InlineData(100, 1.660, 0.004)]
    [InlineData(1e9, 1.645, 0.001)]
    public void Points_of_t_are_those_of_the_tables_and_never_smaller(double degrees, double point, double above) =>
        Assert.InRange(StudentT.OneSided95(degrees), point - 0.001, point + above);

    [Fact]
    public void Less_than_one_degree_of_freedom_has_no_point()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => StudentT.OneSided95(0.9));
        Assert.Throws<ArgumentOutOfRangeException>(() => StudentT.OneSided95(double.NaN));
    }
}
