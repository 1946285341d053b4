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

    /// <summary>Worked by hand: without the two the four have a mean of 500.25; a trimmed mean of all six would have taken one of them in.</summary>
    [Fact]
    public void Two_spikes_in_six_do_not_move_the_mean()
    {
        var block = Close(500, 560, 499, 501, 640, 501);
        Assert.Equal(4, block.Count);
        Assert.InRange(block.Mean, 500, 501);
        Assert.True(block.Variance < 4, $"{block.Variance}: the spikes are in its spread");
    }

    /// <summary>Three of six are no odd spikes: nobody can tell which three are wrong, and the spread says so.</summary>
    [Fact]
    public void Half_a_block_elsewhere_is_not_taken_for_spikes() => Assert.True(Close(500, 600, 501, 601, 499, 599).Variance > 100);

    /// <summary>A row each half minute, sd 4 about 1000: by hand the variance of one is 16 and a step of 1 adds 1/12. A whole per cent would be 100.</summary>
    [Fact]
    public void Blocks_of_one_sample_learn_their_noise_from_one_to_the_next()
    {
        var random = new Random(11);
        Assert.Equal(100, Single(1000).Variance, 1.0);
        for (var i = 0; i < 200; i++)
        {
            Single(1000 + (4 * Gauss(random)));
        }

        var variances = Enumerable.Range(0, 400).Select(_ => Single(1000 + (4 * Gauss(random))).Variance).ToArray();
        Assert.InRange(variances.Average(), 11, 21);
    }

    [Fact]
    public void A_flickering_probe_read_each_half_minute_is_stuck_when_it_repeats_itself_for_four_minutes()
    {
        var random = new Random(12);
        for (var i = 0; i < 20; i++)
        {
            Single(1000 + (4 * Gauss(random)));
        }

        for (var i = 0; i < 8; i++)
        {
            Assert.True(Single(1003).IsGood);
        }

        Assert.Equal(Reason.Stuck, Single(1003).Reason);
    }

    /// <summary>Screening lets a few samples of a burst through; they are no better than those that it did not, and had been believed as quiet ones.</summary>
    [Theory]
    [InlineData(4, Reason.TooFast)]
    [InlineData(2, Reason.None)]
    public void What_is_left_of_a_burst_is_no_block(int leaps, Reason reason)
    {
        Close(500, 502, 499, 501, 499, 500);
        for (var i = 0; i < leaps; i++)
        {
            var leap = Reading.Missing(Reason.TooFast, MonotonicTime.FromSeconds(_seconds += 5));
            _average.Add(leap);
            _average.Add(leap);
        }

        Assert.Equal(reason, Close(500, 430).Reason);
        Assert.True(Close(500, 502, 499, 501, 499, 500).IsGood);
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

    private Block Single(double value)
    {
        _seconds += 25;
        return Close(value);
    }

    private Block Close(params double[] values)
    {
        foreach (var value in values)
        {
            _average.Add(Reading.Of(value, MonotonicTime.FromSeconds(_seconds += 5)));
        }

        return _average.Close();
    }
}
