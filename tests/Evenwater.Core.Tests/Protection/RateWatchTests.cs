using Evenwater.Core.Safety;

namespace Evenwater.CoreTests.Protection;

/// <summary>By arithmetic: what rises by 40 an hour differs by 40 x 25 / 60 between two means that lie 25 minutes apart.</summary>
public class RateWatchTests
{
    private const double PerSecond = 40.0 / 3600;

    [Fact]
    public void What_rises_evenly_is_told_after_half_an_hour_and_for_as_long_as_it_does()
    {
        var watch = new RateWatch();
        Go(watch, 0, 29 * 60, at => 500 + (PerSecond * at));
        Assert.Null(watch.PerHour);
        Go(watch, 29 * 60, 31 * 60, at => 500 + (PerSecond * at));
        Assert.Equal(40, watch.PerHour!.Value, 1e-6);
        Go(watch, 31 * 60, 200 * 60, at => 500 + (PerSecond * at));
        Assert.Equal(40, watch.PerHour!.Value, 1e-6);
        Assert.Equal(40 * (200 - 5) / 60.0, watch.FromStart!.Value, 0.4); // from the middle of the first five minutes to that of the last
        Go(watch, 200 * 60, 231 * 60, _ => 700);
        Assert.Equal(0, watch.PerHour!.Value, 1e-6);
    }

    [Fact]
    public void How_far_from_the_start_is_told_after_five_minutes()
    {
        var watch = new RateWatch();
        Go(watch, 0, 290, _ => 10);
        Assert.Null(watch.FromStart);
        Go(watch, 290, 310, _ => 10);
        Assert.Equal(0, watch.FromStart);
        Go(watch, 310, 640, _ => 13);
        Assert.Equal(3, watch.FromStart!.Value, 1e-9);
    }

    /// <summary>Behind a gap nothing is known of what happened in it, so no rate is told; how far it is from the start is.</summary>
    [Theory]
    [InlineData(331, false)]
    [InlineData(166, true)] // as long without a value
    public void A_gap_of_over_five_minutes_takes_half_an_hour_to_fill_and_does_not_forget_the_start(int seconds, bool asked)
    {
        var watch = new RateWatch();
        Go(watch, 0, 2400, _ => 10);
        Assert.Equal(0, watch.PerHour);
        if (asked)
        {
            for (var i = 0; i < 2 * seconds; i++) watch.Step(Reading.Missing(Reason.NoAnswer, MonotonicTime.FromSeconds(2400 + i)), MonotonicTime.FromSeconds(2400 + i));
            seconds *= 2;
        }

        Go(watch, 2400 + seconds, 2400 + seconds + 240, _ => 14);
        Assert.Null(watch.PerHour);
        Assert.Null(watch.FromStart);
        Go(watch, 2640 + seconds, 2640 + seconds + 120, _ => 14);
        Assert.Equal(4, watch.FromStart!.Value, 1e-9);
        Assert.Null(watch.PerHour);
        Go(watch, 2760 + seconds, 2760 + seconds + 1800, _ => 14);
        Assert.Equal(0, watch.PerHour!.Value, 1e-9); // and none of what was before
    }

    /// <summary>What was read on both sides of a short gap tells the rate over it: a loose contact every ten minutes must not switch the hourly limit off.</summary>
    [Theory]
    [InlineData(75, 600, false)]
    [InlineData(75, 600, true)]
    [InlineData(240, 900, false)]
    [InlineData(240, 900, true)]
    public void Short_gaps_do_not_hide_the_rate(int seconds, int every, bool asked)
    {
        var watch = new RateWatch();
        var told = 0;
        for (var at = 0; at < 3 * 3600; at++)
        {
            var missing = at % every >= every - seconds;
            if (missing && asked) watch.Step(Reading.Missing(Reason.NoAnswer, MonotonicTime.FromSeconds(at)), MonotonicTime.FromSeconds(at));
            if (!missing) Go(watch, at, at + 1, t => 500 + (PerSecond * t));
            if (missing || watch.PerHour is not { } rate) continue;
            told++;
            Assert.Equal(40, rate, 0.05 * 40);
        }

        Assert.True(told > 3600, $"told in {told} s of three hours");
    }

    [Fact]
    public void A_new_run_begins_with_nothing_of_the_last_one()
    {
        var watch = new RateWatch();
        Go(watch, 0, 2415, _ => 1000); // ends in the middle of half a minute
        watch.Clear();
        Assert.Null(watch.PerHour);
        Assert.Null(watch.FromStart);
        Go(watch, 2415, 2415 + 1700, _ => 0);
        Assert.Null(watch.PerHour);
        Assert.Equal(0, watch.FromStart!.Value, 1e-9);
        Go(watch, 4115, 4115 + 200, _ => 0);
        Assert.Equal(0, watch.PerHour!.Value, 1e-9);
    }

    /// <summary>The log has a run from its begin on: a replay's watch is a new one, and must come to the same.</summary>
    [Fact]
    public void A_cleared_one_is_as_a_new_one()
    {
        var (cleared, anew) = (new RateWatch(), new RateWatch());
        Go(cleared, 0, 2415, _ => 1000);
        cleared.Clear();
        for (var at = 2425; at < 6000; at += 5)
        {
            Go(cleared, at, at + 5, t => t * (double)t);
            Go(anew, at, at + 5, t => t * (double)t);
            Assert.Equal((anew.PerHour, anew.FromStart), (cleared.PerHour, cleared.FromStart));
        }
    }

    [Fact]
    public void Half_a_block_that_was_under_way_is_forgotten_too()
    {
        var (cleared, anew) = (new RateWatch(), new RateWatch());
        Go(cleared, 0, 15, _ => 1000);
        cleared.Clear();
        foreach (var watch in new[] { cleared, anew }) Go(watch, 15, 640, at => at < 310 ? 10 : 13);
        Assert.Equal(3, cleared.FromStart!.Value, 0.2);
        Assert.Equal(anew.FromStart, cleared.FromStart);
    }

    private static void Go(RateWatch watch, int from, int to, Func<int, double> value)
    {
        for (var at = from; at < to; at++) watch.Step(Reading.Of(value(at), MonotonicTime.FromSeconds(at)), MonotonicTime.FromSeconds(at));
    }
}
