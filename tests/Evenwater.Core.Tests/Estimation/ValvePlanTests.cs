using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

public sealed class ValvePlanTests
{
    private static readonly ValvePlan Plan = new([new(200, true), new(100, false), new(500, false)]);

    [Theory]
    [InlineData(0, true)]
    [InlineData(99.9, true)]
    [InlineData(100, false)]
    [InlineData(200, true)]
    [InlineData(500, false)]
    [InlineData(1e6, false)]
    public void It_is_open_unless_commanded_otherwise(double at, bool open) => Assert.Equal(open, Plan.IsOpenAt(at));

    [Theory]
    [InlineData(0, 100, 100)]
    [InlineData(50, 100, 50)]
    [InlineData(0, 1000, 400)]
    [InlineData(150, 10, 0)]
    public void Open_seconds_are_counted_across_commands(double from, double seconds, double expected) =>
        Assert.Equal(expected, Plan.OpenSeconds(from, seconds), 9);

    [Fact]
    public void The_grid_breaks_at_commands_and_ends_at_48_hours()
    {
        var grid = new TimeGrid();
        grid.Lay(Plan, 50);
        var steps = Enumerable.Range(0, grid.Count).Select(k => grid[k]).ToArray();
        Assert.Equal(0, steps[0].Start);
        Assert.Equal(Quantiles.HorizonSeconds, steps[^1].Start + steps[^1].Seconds, 6);
        Assert.Contains(50, steps.Select(s => s.Start));
        Assert.All(steps, s => Assert.True(s.OpenSeconds == 0 || s.OpenSeconds == s.Seconds));
        var open = steps.Sum(s => s.OpenSeconds);
        Assert.Equal(Plan.OpenSeconds(50, Quantiles.HorizonSeconds), open, 6);
    }

    [Fact]
    public void A_thousand_commands_still_fit_the_grid_and_lose_no_open_time()
    {
        var plan = new ValvePlan([.. Enumerable.Range(1, 1000).Select(i => new ValveCommand(i * 60, i % 2 == 0))]);
        var grid = new TimeGrid();
        grid.Lay(plan, 0);
        var last = grid[grid.Count - 1];
        Assert.Equal(Quantiles.HorizonSeconds, last.Start + last.Seconds, 6);
        var open = Enumerable.Range(0, grid.Count).Sum(k => grid[k].OpenSeconds);
        Assert.Equal(plan.OpenSeconds(0, Quantiles.HorizonSeconds), open, 3);
    }
}
