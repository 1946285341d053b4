using Evenwater.Core.Review.Comparing;

namespace Evenwater.CoreTests.Review.Comparing;

public class LongRunTests
{
    // The expected figures were computed apart from this program: normal equations by Gauss, and the long-run variance from the fall of the squares that are left
    // when the cosines join the fit. Values: the Nile before and after 1898 (Cobb 1978).
    private static readonly double[] Before =
        [1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100];

    private static readonly double[] After =
    [
        774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865,
        845, 944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746,
        919, 718, 714, 740,
    ];

    private static Estimate Of(double[] values, int[] kept, int waves, bool slope)
    {
        double[] places = [.. kept.Select(i => (i + 0.5) / values.Length)];
        double[] ones = [.. kept.Select(_ => 1.0)];
        double[][] columns = slope ? [ones, [.. places.Select(place => place - 0.5)]] : [ones];
        return LongRun.Of([.. kept.Select(i => values[i])], places, columns, slope ? [0, 1] : [1], waves)!.Value;
    }

    [Fact]
    public void The_Nile_fell_by_248_and_how_sure_that_is_agrees_with_another_calculation()
    {
        var before = Of(Before, [.. Enumerable.Range(0, 28)], 4, slope: false);
        var after = Of(After, [.. Enumerable.Range(0, 72)], 4, slope: false);
        Assert.Equal((1097.75, 30.504411), (before.Value, Math.Round(before.Sd, 6)));
        Assert.Equal((849.972222, 9.638481), (Math.Round(after.Value, 6), Math.Round(after.Sd, 6)));
        var difference = Estimate.Difference(before, after);
        Assert.Equal(-247.777778, difference.Value, 1e-6);
        Assert.Equal((31.99093, 4.79081), (Math.Round(difference.Sd, 5), Math.Round(difference.Degrees, 5)));
    }

    [Fact]
    public void A_slope_and_what_is_missing_agree_with_another_calculation()
    {
        var slope = Of(After, [.. Enumerable.Range(0, 72)], 4, slope: true);
        Assert.Equal((49.713293, 43.251222), (Math.Round(slope.Value, 6), Math.Round(slope.Sd, 6)));
        int[] kept = [.. Enumerable.Range(0, 28).Where(i => i is not (3 or 4 or 11))];
        var level = Of(Before, kept, 4, slope: false);
        Assert.Equal((1097.28, 29.13083), (Math.Round(level.Value, 6), Math.Round(level.Sd, 5)));
    }

    [Fact]
    public void What_can_not_be_told_is_null()
    {
        Assert.Null(LongRun.Of([1, 2, 3], [0.1, 0.5, 0.9], [[1, 1, 1], [2, 2, 2]], [1, 0], 2));
        Assert.Null(LongRun.Of([1, 2, 3], [0.1, 0.5, 0.9], [[1, 1, 1], [0, 0, 0]], [1, 0], 2));
        Assert.Null(LongRun.Of([1], [0.5], [[1.0]], [1], 2));
    }

    [Theory] // a side of seven days, seen 1500 times: memory of the hour before, of the quarter (none is left after hours), of ten hours with a day's course and a seventh missing
    [InlineData(0.9, 0.0, 0)]
    [InlineData(0.66, 0.0, 0)]
    [InlineData(0.9, 2.0, 7)]
    [InlineData(0.0, 2.0, 7)]
    public void Nine_of_ten_intervals_hold_the_truth_though_each_hour_remembers_the_one_before(double memory, double course, int missingOf)
    {
        const int Drawn = 500;
        var made = new Made(20261128);
        var held = new Dictionary<Figure, int> { [Figure.Level] = 0, [Figure.Slope] = 0 };
        for (var i = 0; i < Drawn; i++)
        {
            var (before, after) = (made.Side(Channel.TankTemperature, 7, memory, course, 3, missingOf), made.Side(Channel.TankTemperature, 7, memory, course, 3.5, missingOf));
            foreach (var (figure, truth) in ((Figure, double)[])[(Figure.Level, 0.5), (Figure.Slope, 0)])
            {
                var told = Estimate.Difference(SideFigures.Of(before, figure)!.Value, SideFigures.Of(after, figure)!.Value);
                if (told.Low <= truth && truth <= told.High) held[figure]++;
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine(string.Join(", ", held.Select(one => $"{one.Key}: {one.Value} of {Drawn}")));
        Assert.All(held, one => Assert.InRange(one.Value / (double)Drawn, 0.85, 0.95));
    }
}
