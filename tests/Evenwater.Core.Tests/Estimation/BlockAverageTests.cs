using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

public sealed class BlockAverageTests
{
    private readonly BlockAverage _average = new(step: 1);
    private double _seconds;

    [Fact]
    public void One_wild_value_in_six_does_not_move_the_mean()
    {
        var block = Close(500, 502, 9000, 501, 499, 500);
        Assert.InRange(block.Mean, 500, 501);
    }

    [Fact]
    public void The_variance_is_that_of_the_mean()
    {
        var random = new Random(5);
        var ratios = new List<double>();
        for (var i = 0; i < 2000; i++)
        {
            var values = Enumerable.Range(0, 30).Select(_ => 1000 + (10 * Gauss(random))).ToArray();
            var block = Close(values);
            ratios.Add((block.Mean - 1000) * (block.Mean - 1000) / block.Variance);
        }

        Assert.InRange(ratios.Average(), 0.8, 1.2);
    }

    [Fact]
    public void A_reading_seen_twice_counts_once()
    {
        var reading = Reading.Of(500, MonotonicTime.FromSeconds(1));
        _average.Add(reading);
        _average.Add(reading);
        Assert.Equal(1, _average.Close().Count);
    }

    [Fact]
    public void A_flickering_probe_that_stands_still_is_not_used_and_soon_called_stuck()
    {
        Close(500, 507, 495, 503, 498, 509);
        Close(500, 507, 495, 503, 498, 509);
        var first = Close(500, 500, 500, 500, 500, 500);
        Assert.False(first.IsGood);
        Assert.Equal(Reason.None, first.Reason);
        Block block = default;
        for (var i = 0; i < 4; i++)
        {
            block = Close(500, 500, 500, 500, 500, 500);
        }

        Assert.Equal(Reason.Stuck, block.Reason);
    }

    [Fact]
    public void A_probe_quieter_than_its_step_may_repeat_itself_for_twenty_minutes()
    {
        for (var i = 0; i < 39; i++)
        {
            Assert.True(Close(500, 500, 500, 500, 500, 500).IsGood);
        }

        Close(500, 500, 500, 500, 500, 500);
        Assert.Equal(Reason.Stuck, Close(500, 500, 500, 500, 500, 500).Reason);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-5)]
    [InlineData(1e9)]
    public void Absurd_values_are_out_of_range(double value) => Assert.Equal(Reason.OutOfRange, Close(value, value, value).Reason);

    [Fact]
    public void Without_a_reading_the_reason_is_passed_on()
    {
        _average.Add(Reading.Missing(Reason.NotFitted, default));
        Assert.Equal(Reason.NotFitted, _average.Close().Reason);
    }

    private static double Gauss(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private Block Close(params double[] values)
    {
        foreach (var value in values)
        {
            _average.Add(Reading.Of(value, MonotonicTime.FromSeconds(_seconds += 5)));
        }

        return _average.Close();
    }
}
