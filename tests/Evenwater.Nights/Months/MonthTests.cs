namespace Evenwater.Nights.Months;

public class MonthTests
{
    [Fact] // Bounds wide enough for five months; the figures are those of `swings`.
    public void Of_a_few_months_what_comes_within_hours_is_found_and_mostly_explained()
    {
        var figures = new SwingFigures();
        for (var seed = 500; seed < 505; seed++) figures.Add(seed);
        Assert.InRange(figures.FoundSuddenShare, 0.85, 1);
        Assert.InRange(figures.FoundShare, 0.8, 1);
        Assert.InRange(figures.FirstThreeShare, 0.8, 1);
        Assert.InRange(figures.FalseAMonth, 0, 1.5);
        Assert.InRange(figures.FalseOfNoiseAMonth, 0, 1.5);
        Assert.InRange(figures.FirstShare, 0.7, 1);
    }

    [Fact] // A litre of three hundred a day, as from an open tank of a room: what goes on all the time is no news.
    public void In_a_tank_that_evaporates_and_that_nobody_fills_up_the_same_is_found_and_no_more_is_told()
    {
        var figures = new SwingFigures(evaporatesPercentADay: 0.3);
        for (var seed = 500; seed < 505; seed++) figures.Add(seed);
        Assert.InRange(figures.FoundShare, 0.8, 1);
        Assert.InRange(figures.FirstShare, 0.7, 1);
        Assert.InRange(figures.FalseAMonth, 0, 1.5);
        Assert.InRange(figures.FalseOfNoiseAMonth, 0, 1.5);
    }

    [Fact]
    public void A_tank_that_is_filled_up_each_week_tells_each_time_that_it_was()
    {
        var figures = new SwingFigures(evaporatesPercentADay: 0.3, filledUpEveryDays: 7);
        for (var seed = 500; seed < 503; seed++) figures.Add(seed);
        Assert.InRange(figures.FilledUpTold, 11, 12); // four in each month
        Assert.InRange(figures.FilledUpFirst, 10, 12);
        Assert.InRange(figures.FalseAMonth, 0, 1.5);
        Assert.InRange(figures.FalseOfNoiseAMonth, 0, 1.5);
    }

    [Fact]
    public void What_was_planted_is_seen_in_the_water()
    {
        var month = new TankMonth(503);
        Assert.NotEmpty(month.Planted);
        Assert.All(month.Planted, one => Assert.True(one.Most > 1, one.ToString()));
        Assert.Equal(month.Conductivity, new TankMonth(503).Conductivity);
    }
}
