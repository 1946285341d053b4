using Evenwater.Core.Review;

namespace Evenwater.CoreTests.Review;

public class ChartTests
{
    // NIST/SEMATECH e-Handbook 6.3.2.3, the worked example: target 325, k = 0.3175, h = 4.1959.
    private static readonly double[] Nist =
    [
        324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
        324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
    ];

    // NIST/SEMATECH e-Handbook 6.3.2.4: weight 0.3, first average 50, s = 2.0539, three sigmas; limits 52.5884 and 47.4115 there.
    private static readonly double[] NistEwma =
        [52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1];

    private static readonly double[] NistAverages =
    [
        50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33,
        50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
    ];

    // Montgomery and Runger, Applied Statistics and Probability for Engineers, table 16-7, target 99: the sums are by hand of x - 99.
    private static readonly double[] Montgomery =
        [102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4, 97.0, 96.7, 100.3, 101.4, 97.2, 101.0];

    private static readonly double[] MontgomerySums =
        [3.0, -1.2, -1.9, -2.5, 0.5, 0.0, 0.0, -1.3, -0.3, -1.2, 1.1, 0.8, 2.9, 2.3, 0.3, -2.0, -0.7, 1.7, -0.1, 1.9];

    // The Nile's yearly flow at Aswan, 1871 to 1970, 10^8 m3 (Cobb 1978, as in R's data sets).
    private static readonly double[] Nile =
    [
        1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958, 1140,
        1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969,
        831, 726, 456, 824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759,
        781, 865, 845, 944, 984, 897, 822, 1010, 771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890,
        744, 749, 838, 1050, 918, 986, 797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740,
    ];

    [Fact]
    public void The_sums_are_those_of_the_handbook_and_first_signal_at_the_fourteenth()
    {
        var charts = Nist.Scan(new Cusum(325, 0.3175, 4.1959), (chart, value) => chart.Add(value)).ToList();
        Assert.Equal(0.0325, charts[4].High, 1e-9);
        Assert.Equal(3.0075, charts[12].High, 1e-9);
        Assert.Equal(new[] { 4.9400, 7.4475, 10.6300, 11.9875, 14.4450, 16.0025, 19.0350 }, charts.Skip(13).Select(chart => Math.Round(chart.High, 6)));
        Assert.Equal(13, charts.FindIndex(chart => chart.Signal != 0));
        Assert.Equal((0.7150, 7), (Math.Round(charts.Max(chart => chart.Low), 6), charts.FindIndex(chart => chart.Low > 0.7149)));
    }

    [Fact]
    public void Without_slack_the_two_sums_differ_as_the_plain_sum_of_the_textbook_does_from_its_least()
    {
        var charts = Montgomery.Scan(new Cusum(99, 0, 1e9), (chart, value) => chart.Add(value)).ToList();
        for (var i = 0; i < charts.Count; i++)
        {
            var (least, most) = (Math.Min(0, MontgomerySums[..(i + 1)].Min()), Math.Max(0, MontgomerySums[..(i + 1)].Max()));
            Assert.Equal(MontgomerySums[i] - least, charts[i].High, 1e-9);
            Assert.Equal(most - MontgomerySums[i], charts[i].Low, 1e-9);
        }
    }

    [Fact]
    public void The_averages_and_limits_are_those_of_the_handbook_and_none_signals()
    {
        var chart = new Ewma(50, 2.0539, 0.3, 3);
        Assert.Equal((52.5884, 47.4116), (Math.Round(50 + chart.HalfWidth, 4), Math.Round(50 - chart.HalfWidth, 4)));
        var charts = NistEwma.Scan(chart, (soFar, value) => soFar.Add(value)).ToList();
        Assert.All(charts.Zip(NistAverages), pair => Assert.Equal(pair.Second, pair.First.Mean, 0.0051));
        Assert.All(charts, soFar => Assert.Equal(0, soFar.Signal));
    }

    // Run lengths to the first signal, two-sided, from the start (the R package spc, which solves the integral equation): within 4 standard errors of 2000 drawn runs.
    [Theory]
    [InlineData(4, 0, 167.7)]
    [InlineData(4, 1, 8.38)]
    [InlineData(4, 2, 3.34)]
    [InlineData(5, 0, 465.4)]
    [InlineData(5, 0.5, 38.00)]
    [InlineData(5, 1, 10.38)]
    public void A_sum_runs_as_long_as_the_tables_say(double limit, double shift, double expected) =>
        RunsFor(expected, shift, new Cusum(0, 0.5, limit), (chart, value) => chart.Add(value), chart => chart.Signal != 0);

    [Theory]
    [InlineData(0.1, 2.814, 0, 499.6)]
    [InlineData(0.1, 2.814, 1, 10.33)]
    [InlineData(0.2, 2.962, 0.5, 41.76)]
    [InlineData(0.3, 3, 1, 11.70)]
    [InlineData(0.3, 3, 2, 3.51)]
    [InlineData(1, 3, 0, 370.4)] // Shewhart's chart
    public void An_average_runs_as_long_as_the_tables_say(double weight, double width, double shift, double expected) =>
        RunsFor(expected, shift, new Ewma(0, 1, weight, width), (chart, value) => chart.Add(value), chart => chart.Signal != 0);

    // Published for these data by R's strucchange: after observation 28 (1898), interval 1895 to 1902, means 1097.75 and 849.972, sum of squares 1597457.194.
    // The interval there allows each side a variance of its own; one year is left for that.
    [Fact]
    public void The_Nile_broke_after_1898()
    {
        var found = LevelBreak.Of(Nile)!.Value;
        Assert.Equal(28, found.After);
        Assert.Equal((1097.75, 849.972), (Math.Round(found.Before, 3), Math.Round(found.Behind, 3)));
        Assert.Equal(1597457.194, found.BrokenSquares, 0.01);
        Assert.InRange(1870 + found.Least, 1894, 1896);
        Assert.InRange(1870 + found.Most, 1901, 1903);
    }

    [Fact]
    public void Equal_values_and_too_few_have_no_break()
    {
        Assert.Null(LevelBreak.Of([1, 1, 1, 1, 1, 1]));
        Assert.Null(LevelBreak.Of([1, 2, 3]));
    }

    [Theory] // a single wild value at either end is the likeliest break, and no nearer to an end than is asked for
    [InlineData(1, 1, 7)]
    [InlineData(2, 2, 6)]
    [InlineData(3, 3, 5)]
    public void A_break_lies_no_nearer_to_an_end_than_asked_for(int edge, int first, int last)
    {
        Assert.Equal(first, LevelBreak.Of([10, 0, 0, 0, 0, 0, 0, 0], edge)!.Value.After);
        Assert.Equal(last, LevelBreak.Of([0, 0, 0, 0, 0, 0, 0, 10], edge)!.Value.After);
        double[] values = [10, 10, 10, 0, 0, 0];
        Assert.Null(LevelBreak.Of(values.AsSpan(0, Math.Max(3, (2 * edge) - 1)), edge));
        Assert.NotNull(LevelBreak.Of(values.AsSpan(0, Math.Max(4, 2 * edge)), edge));
    }

    [Fact] // far off nothing: 105 four times, then one more each time: nothing is left
    public void A_knee_without_any_noise_is_where_it_is_and_no_nearer_to_an_end_than_asked_for()
    {
        var found = LineBreak.Of([105, 105, 105, 105, 106, 107, 108, 109], 2)!.Value;
        Assert.Equal(4, found.After);
        Assert.Equal(0, found.Squares, 1e-9);
        Assert.Equal((2, 3, 4), (LineBreak.Of([0, 1, 2, 3, 4, 5, 6, 7], 1)!.Value.After, LineBreak.Of([0, 1, 2, 3, 4, 5, 6, 7], 3)!.Value.After, LineBreak.Of([0, 1, 2, 3, 4, 5, 6, 7], 4)!.Value.After));
        Assert.Equal((6, 5), (LineBreak.Of([0, 0, 0, 0, 0, 0, 0, 8], 1)!.Value.After, LineBreak.Of([0, 0, 0, 0, 0, 0, 0, 8], 3)!.Value.After));
        Assert.Null(LineBreak.Of([3, 3, 3, 3, 3, 3], 2));
    }

    [Theory] // a quarter of an hour needs an hour before it, a slope four hours, and what lasts longer half as much
    [InlineData(SwingShape.Level, 1, 4)]
    [InlineData(SwingShape.Level, 16, 8)]
    [InlineData(SwingShape.Slope, 8, 16)]
    [InlineData(SwingShape.Slope, 192, 96)]
    public void A_look_asks_for_so_much_before_it(SwingShape shape, int span, int least) => Assert.Equal(least, new Look(shape, span, 96).LeastBefore);

    [Fact]
    public void A_step_without_any_noise_is_where_it_is()
    {
        var found = LevelBreak.Of([1, 1, 1, 2, 2, 2])!.Value;
        Assert.Equal((3, 2, 4, 0.0), (found.After, found.Least, found.Most, found.BrokenSquares));
    }

    private static void RunsFor<T>(double expected, double shift, T start, Func<T, double, T> add, Func<T, bool> signals)
    {
        const int Runs = 2000;
        var random = new Random(20261128);
        double sum = 0, squares = 0;
        for (var run = 0; run < Runs; run++)
        {
            var (chart, length) = (start, 0);
            do
            {
                chart = add(chart, shift + Gauss(random));
                length++;
            }
            while (!signals(chart));
            (sum, squares) = (sum + length, squares + ((double)length * length));
        }

        var mean = sum / Runs;
        Assert.Equal(expected, mean, 4 * Math.Sqrt(((squares / Runs) - (mean * mean)) / Runs));
    }

    private static double Gauss(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}

internal static class Scanning
{
    public static IEnumerable<TState> Scan<T, TState>(this IEnumerable<T> values, TState state, Func<TState, T, TState> add)
    {
        foreach (var value in values)
        {
            state = add(state, value);
            yield return state;
        }
    }
}
