using Evenwater.Core.Estimation;
using Evenwater.Nights.Plant;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights;

public sealed class RiverNights(ITestOutputHelper output)
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    public void The_demo_night_is_even_before_the_forecast_would_close(int seed)
    {
        var night = RiverNight.Of(seed);
        var estimator = new Estimator(night.Prior, 1);
        var worst = 0.0;
        Forecast atMatch = default;
        foreach (var row in night.Rows.TakeWhile(r => r.Seconds <= night.MatchSeconds))
        {
            estimator.Step(row.Readings, row.ValveOpen, row.At);
            atMatch = estimator.Latest;
            worst = Math.Max(worst, estimator.Latest.BrimProbability);
        }

        output.WriteLine($"even at {night.MatchSeconds / 3600:0.00} h, mark at {night.BrimSeconds / 3600:0.00} h; "
            + $"largest P(brim within 600 s) before: {worst:0.000000}; volume then {atMatch.VolumeLitres}");
        Assert.NotNull(night.MatchSeconds);
        Assert.InRange(worst, 0, 0.01);
        Assert.InRange(atMatch.MatchedProbability, 0.02, 0.98);
    }

    [Fact]
    public void The_demo_night_would_be_closed_before_its_mark()
    {
        for (var seed = 1; seed <= 4; seed++)
        {
            var night = RiverNight.Of(seed, hours: 13);
            var estimator = new Estimator(night.Prior, 1);
            var closed = night.Rows.First(row =>
            {
                estimator.Step(row.Readings, row.ValveOpen, row.At);
                return estimator.Latest.BrimProbability > 0.01;
            }).Seconds;
            output.WriteLine($"seed {seed}: closes {(night.BrimSeconds - closed) / 60:0} min before the mark, {(closed - night.MatchSeconds) / 60:0} min after the match; "
                + $"in truth {night.Truth!.StartLitres:0.00} L at first, brim {night.Truth.BrimLitres:0.00} L");
            Assert.InRange(closed, night.MatchSeconds!.Value, night.BrimSeconds!.Value);
        }
    }
}
