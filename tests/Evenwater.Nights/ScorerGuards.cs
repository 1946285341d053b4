using Evenwater.Core.Estimation;
using Evenwater.Core.Scoring;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights;

/// <summary>The judge is judged: what is made worse on purpose must score worse.</summary>
[Collection(nameof(Development))]
public sealed class ScorerGuards(DevelopmentNightsFixture fixture)
{
    [Fact]
    public void A_narrowed_interval_loses_coverage_below_the_limit()
    {
        var narrowed = Judge.All(fixture.Nights, Changed(q => Around(q, 0.4)));
        Assert.InRange(Table.Coverage(narrowed), 0, 0.79);
    }

    [Fact]
    public void A_forecast_half_as_long_loses_more() =>
        Assert.True(Table.MeanLoss(Judge.All(fixture.Nights, Changed(Halved))) > 1.2 * Table.MeanLoss(fixture.Judged));

    [Fact]
    public void A_forecast_of_anything_at_all_covers_but_loses_more()
    {
        var anything = Judge.All(fixture.Nights, Changed(_ => new Quantiles(30, 600, 6000, 60_000, Quantiles.Beyond)));
        Assert.True(Table.Coverage(anything) > 0.95);
        Assert.True(Table.MeanLoss(anything) > 2 * Table.MeanLoss(fixture.Judged));
    }

    [Fact]
    public void A_perfect_forecast_loses_nothing() => Assert.Equal(0, Loss.Pinball(new Quantiles(500, 500, 500, 500, 500), 500), 12);

    [Theory]
    [InlineData(100, 200, 300, 400, 500, 300, true)]
    [InlineData(100, 200, 300, 400, 500, 501, false)]
    [InlineData(100, 200, 300, 400, 500, 99, false)]
    public void Coverage_is_the_5_to_95_interval(double a, double b, double c, double d, double e, double truth, bool covered) =>
        Assert.Equal(covered, Loss.Covers(new Quantiles(a, b, c, d, e), truth));

    [Fact]
    public void Pinball_by_hand()
    {
        // ln 2 = 0.6931 late at every quantile: 2/5 (0.05 + 0.25 + 0.5 + 0.75 + 0.95) ln 2 = ln 2.
        Assert.Equal(Math.Log(2), Loss.Pinball(new Quantiles(500, 500, 500, 500, 500), 1000), 12);
    }

    private Forecaster Changed(Func<Quantiles, Quantiles> change) => night =>
        [.. fixture.AsForecast(night).Select(c => new Call(c.Seconds, change(c.Match), change(c.Brim)))];

    private static Quantiles Halved(Quantiles q) => new(q.P05 / 2, q.P25 / 2, q.P50 / 2, q.P75 / 2, q.P95 / 2);

    private static Quantiles Around(Quantiles q, double share) => double.IsInfinity(q.P50) ? q : new(
        q.P50 + (share * (q.P05 - q.P50)), q.P50, q.P50, q.P50, q.P50 + (share * (Math.Min(q.P95, 1e6) - q.P50)));
}
