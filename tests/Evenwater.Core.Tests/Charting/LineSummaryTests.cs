using Evenwater.Core.Charting;

namespace Evenwater.CoreTests.Charting;

public class LineSummaryTests
{
    private static readonly DateTimeOffset Noon = new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero);

    // NIST's Statistical Reference Datasets, "Norris" (linear, lower difficulty): certified slope 1.00211681802045, standard deviation of it 0.000429796848199937, 36 points.
    private static readonly (double X, double Y)[] Norris =
    [
        (0.2, 0.1), (337.4, 338.8), (118.2, 118.1), (884.6, 888.0), (10.1, 9.2), (226.5, 228.1), (666.3, 668.5), (996.3, 998.5), (448.6, 449.1), (777.0, 778.9),
        (558.2, 559.2), (0.4, 0.3), (0.6, 0.1), (775.5, 778.1), (666.9, 668.8), (338.0, 339.3), (447.5, 448.9), (11.6, 10.8), (556.0, 557.7), (228.1, 228.3),
        (995.8, 998.0), (887.6, 888.8), (120.2, 119.6), (0.3, 0.3), (0.3, 0.6), (556.8, 557.6), (339.1, 339.3), (887.2, 888.0), (999.0, 998.5), (779.0, 778.9),
        (11.1, 10.2), (118.3, 117.6), (229.2, 228.9), (669.1, 668.4), (448.9, 449.2), (0.5, 0.2),
    ];

    [Fact]
    public void A_small_line_in_figures_as_by_hand()
    {
        // Means 1, 3, none, 2, 8: median (2 + 3) / 2; lowest 0.5 in the first, highest 9 in the last.
        var axis = new TimeAxis(Noon, TimeSpan.FromHours(1), 5);
        (int Hour, Bin Bin)[] bins = [(0, new(10, 0.5, 1, 2, 1.5)), (1, new(10, 2.5, 3, 4, 3)), (3, new(10, 2, 2, 2, 2)), (4, new(5, 7, 8, 9, 8.5))];
        var summary = LineSummary.Of(ChartLine.Of(axis, axis.To, bins.Select(one => (Noon.AddHours(one.Hour), one.Bin))))!;
        Assert.Equal((0.5, 2.5, 9.0), (summary.Min, summary.Median, summary.Max));
        Assert.Equal((1.0, 8.5), (summary.First, summary.Last));
        Assert.Equal((Noon, Noon.AddHours(4), Noon.AddHours(4)), (summary.MinAt, summary.MaxAt, summary.LastAt));
        Assert.Equal((1, TimeSpan.FromHours(1)), (summary.Gaps, summary.Missing));
        Assert.Null(summary.Trend);
        Assert.Null(LineSummary.Of(ChartLine.Of(axis, axis.To, [])));
    }

    [Fact]
    public void The_slope_is_the_certified_one_and_its_range_no_narrower_than_that_of_independent_points()
    {
        // Tenths of an hour, since a line has a place for each stretch; points of the same x come together, which changes the fit by less than a tenth of its own error.
        var axis = new TimeAxis(Noon, TimeSpan.FromHours(0.1), 10_000);
        var line = ChartLine.Of(axis, axis.To, Norris.OrderBy(p => p.X).Select(p => (Noon.AddHours(p.X), Bin.Of(p.Y))));
        var trend = Trend.Of(line)!.Value;
        Assert.Equal(1.00211681802045, trend.P50, 1e-4);
        // 1.69 is Student's t at 95 % with 34 degrees of freedom.
        Assert.InRange(trend.HalfWidth, 0.9 * 1.69 * 0.000429796848199937, 1.6 * 1.69 * 0.000429796848199937);
        Assert.True(trend.Tells);
    }

    [Fact]
    public void Of_a_thousand_lines_with_memory_about_nine_in_ten_ranges_hold_the_true_slope()
    {
        // First-order memory of 0.6 between neighbours; 5 to 95 % would be 900 of 1000, and four standard deviations of that count are 38.
        var random = new Random(7);
        var held = 0;
        for (var round = 0; round < 1000; round++)
        {
            var axis = new TimeAxis(Noon, TimeSpan.FromHours(1), 200);
            var noise = 0.0;
            var trend = Trend.Of(ChartLine.Of(axis, axis.To, Enumerable.Range(0, 200).Select(i =>
            {
                noise = (0.6 * noise) + random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5;
                return (axis.At(i), Bin.Of((0.01 * i) + noise));
            })))!.Value;
            if (trend.P05 <= 0.01 && trend.P95 >= 0.01) held++;
        }

        Assert.InRange(held, 862, 960);
    }

    [Theory] // a thermometer's steps over a tank that wanders, a point each half minute that remembers ten minutes: by its neighbours alone 45 and 60 of 100 ranges held it
    [InlineData(1)]
    [InlineData(3)]
    public void Of_two_hundred_lines_that_wander_while_each_point_errs_by_itself_the_ranges_hold_the_true_slope_too(double alone)
    {
        var random = new Random(9);
        double Noise() => Enumerable.Range(0, 12).Sum(_ => random.NextDouble()) - 6;
        var held = 0;
        for (var round = 0; round < 200; round++)
        {
            var axis = new TimeAxis(Noon, TimeSpan.FromSeconds(30), 1440);
            var wander = Noise();
            var keep = Math.Exp(-1 / 20.0);
            var trend = Trend.Of(ChartLine.Of(axis, axis.To, Enumerable.Range(0, 1440).Select(i =>
            {
                wander = (keep * wander) + (Math.Sqrt(1 - (keep * keep)) * Noise());
                return (axis.At(i), Bin.Of((0.01 * i / 120) + wander + (alone * Noise())));
            })))!.Value;
            if (trend.P05 <= 0.01 && trend.P95 >= 0.01) held++;
        }

        Assert.InRange(held, 180 - 17, 200); // four standard deviations of 180 of 200 are 17
    }

    [Fact]
    public void An_hour_of_the_day_is_told_by_its_quartiles_and_by_the_wall_clock()
    {
        // Days 1 to 10 of an hour are worth their own number: R's quantile(1:10) is 3.25, 5.5, 7.75 (definition 7, worked there). Summer time begins on the fifth of them.
        var zone = TimeZoneInfo.CreateCustomTimeZone("Here", TimeSpan.FromHours(1), "Here", "Here", "Here in summer",
            [TimeZoneInfo.AdjustmentRule.CreateAdjustmentRule(new(2026, 1, 1), new(2026, 12, 31), TimeSpan.FromHours(1),
                TimeZoneInfo.TransitionTime.CreateFixedDateRule(new(1, 1, 1, 2, 0, 0), 3, 29), TimeZoneInfo.TransitionTime.CreateFixedDateRule(new(1, 1, 1, 3, 0, 0), 10, 25))]);
        var axis = new TimeAxis(new(2026, 3, 24, 23, 0, 0, TimeSpan.Zero), TimeSpan.FromHours(1), 240);
        var line = ChartLine.Of(axis, axis.To, Enumerable.Range(0, 240).Select(i => axis.At(i))
            .Where(at => TimeZoneInfo.ConvertTime(at, zone).Hour is 8 or 20)
            .Select(at => (at, Bin.Of(TimeZoneInfo.ConvertTime(at, zone) is var here && here.Hour == 8 ? (here.Date - new DateTime(2026, 3, 24)).Days : 0))));
        var profile = HourProfile.Of(line, zone);
        Assert.Equal([8, 20], profile.Select(hour => hour.Hour));
        Assert.Equal((10, 3.25, 5.5, 7.75), (profile[0].Days, profile[0].Quarter, profile[0].Median, profile[0].ThreeQuarters));
    }
}
