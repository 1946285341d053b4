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
        Assert.Equal(0, grid.Start(0));
        Assert.Equal(Quantiles.HorizonSeconds, grid.Start(grid.Count));
        Assert.Contains(50, Enumerable.Range(0, grid.Count).Select(grid.Start));
        Assert.All(Enumerable.Range(0, grid.Count), k => Assert.True(grid.OpenFraction(k) is 0 or 1));
        var open = Enumerable.Range(0, grid.Count).Sum(k => grid.OpenFraction(k) * grid.Seconds(k));
        Assert.Equal(Plan.OpenSeconds(50, Quantiles.HorizonSeconds), open, 6);
    }

    [Fact]
    public void A_thousand_commands_still_fit_the_grid_and_lose_no_open_time()
    {
        var plan = new ValvePlan([.. Enumerable.Range(1, 1000).Select(i => new ValveCommand(i * 60, i % 2 == 0))]);
        var grid = new TimeGrid();
        grid.Lay(plan, 0);
        Assert.Equal(Quantiles.HorizonSeconds, grid.Start(grid.Count));
        var open = Enumerable.Range(0, grid.Count).Sum(k => grid.OpenFraction(k) * grid.Seconds(k));
        Assert.Equal(plan.OpenSeconds(0, Quantiles.HorizonSeconds), open, 3);
    }
}
