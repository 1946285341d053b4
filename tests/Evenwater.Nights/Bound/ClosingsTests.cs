using Evenwater.Core.Estimation;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.Bound;

/// <summary>When the rule closes, worked by hand.</summary>
public sealed class ClosingsTests
{
    private static readonly Held[] Risen = [new(0, 0.001, 0), new(300, 0.005, 0), new(600, 0.08, 0)];

    [Fact]
    public void Between_two_forecasts_the_logarithm_of_the_risk_goes_straight()
    {
        // 0.005 to 0.08 is four doublings in 300 s; 0.02 is two of them.
        Assert.Equal(450, Closings.At(Risen, 0.02), 1e-6);
        Assert.Equal(300, Closings.At(Risen, 0.005), 1e-6);
        Assert.Equal(double.PositiveInfinity, Closings.At(Risen, 0.1));
        Assert.Equal(600, Closings.At([new(300, 0, 0), new(600, 0.08, 0)], 0.02));
    }

    /// <summary>Once the waters are surely even a twentieth of the risk closes (<see cref="Core.Safety.ClosingRisk"/>).</summary>
    [Fact]
    public void What_is_even_closes_at_a_twentieth_of_the_risk() =>
        Assert.Equal(Closings.At(Risen, 0.005), Closings.At([.. Risen.Select(held => held with { Even = 1 })], 0.1), 1e-6);

    [Theory]
    [InlineData(3600.0, 7200.0, 3000, true, false)]
    [InlineData(3600.0, 7200.0, 4000, false, false)]
    [InlineData(3600.0, 7200.0, 7201, false, true)]
    [InlineData(7200.0, 3600.0, 3000, false, false)]
    [InlineData(3600.0, null, 3000, true, false)]
    [InlineData(null, 7200.0, double.PositiveInfinity, false, true)]
    public void Early_is_before_a_match_that_comes_before_the_mark(double? match, double? brim, double closed, bool early, bool past)
    {
        var night = new Closings(new Night("a", "nominal", new Prior { StartVolumeLitres = 1, BrimLitres = 2, ToleranceMicrosiemensPerCm = 40 }, [], match, brim), [], []);
        Assert.Equal(early, night.Early(closed));
        Assert.Equal(past, night.PastMark(closed));
    }
}
