using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

public sealed class FloatTests
{
    private readonly FloatWatch _watch = new(Channel.FloatLow, 5, 0.12);

    [Fact]
    public void Two_wet_blocks_after_a_dry_one_are_a_crossing_told_once()
    {
        Assert.Equal(FloatNews.None, Block(0, 0, 0));
        Assert.True(_watch.Dry);
        Assert.Equal(FloatNews.None, Block(0, 1, 1));
        Assert.Equal(FloatNews.Crossed, Block(1, 1, 0));
        Assert.False(_watch.Dry);
        Assert.Equal(FloatNews.None, Block(1, 1, 1));
    }

    [Fact]
    public void One_wet_block_is_a_wave()
    {
        Block(0, 0, 0);
        Assert.Equal(FloatNews.None, Block(1, 1, 1));
        Assert.Equal(FloatNews.None, Block(0, 0, 0));
        Assert.Equal(FloatNews.None, Block(1, 1, 1));
    }

    /// <summary>
    /// It no longer says that the water is below it, and does not yet say for good that it is there: what it seems to say is used for the moment. For one block it said
    /// nothing at all, and the litres were as if there were no float.
    /// </summary>
    [Fact]
    public void Between_dry_and_crossed_it_is_touched()
    {
        Block(0);
        Assert.False(_watch.Touched);
        Block(1);
        Assert.True(_watch.Touched);
        Assert.False(_watch.Dry);
        var view = Guess(4.2, 0.15);
        FloatEvidence.Colour(view, _watch);
        var sum = Guess(4.2, 0.15);
        FloatEvidence.Crossed(sum, _watch);
        Assert.Equal(sum[0].Mean, view[0].Mean);
        Assert.Equal(sum[0].Covariance, view[0].Covariance);
        Assert.True(sum[0].Mean[State.LnVolume] > Math.Log(4.8));
        Block(1);
        Assert.False(_watch.Touched);
    }

    [Fact]
    public void One_touched_after_a_gap_says_that_the_water_is_above_it()
    {
        Block(0);
        _watch.AfterGap();
        Block(1);
        var view = Guess(5.5, 0.1);
        FloatEvidence.Colour(view, _watch);

        // Half a normal distribution lies sqrt(2/pi) of its sd from its middle (any table): 5.5 L, known to 10 %, cut at 5 L is 5.6 L, and not the 5 L of a crossing.
        Assert.InRange(Math.Exp(view[0].Mean[State.LnVolume]), 5.5, 5.8);
    }

    [Theory]
    [InlineData(1, 0, 1)]
    [InlineData(1, 1)]
    public void A_float_that_was_never_dry_is_not_touched(params int[] values)
    {
        Block(values);
        Assert.False(_watch.Touched);
        var view = Guess(4.2, 0.15);
        FloatEvidence.Colour(view, _watch);
        Assert.Equal(1, view.Count);
    }

    [Fact]
    public void A_float_wet_from_the_start_is_not_believed()
    {
        Assert.Equal(FloatNews.None, Block(1, 1));
        Assert.Equal(FloatNews.None, Block(1, 1));
        Assert.True(_watch.Spent);
    }

    [Fact]
    public void A_crossing_in_a_gap_is_only_known_to_have_been()
    {
        Block(0, 0);
        _watch.AfterGap();
        Block(1, 1);
        Assert.Equal(FloatNews.FoundWet, Block(1, 1));
    }

    [Fact]
    public void A_crossing_long_after_a_gap_is_a_crossing()
    {
        Block(0, 0);
        _watch.AfterGap();
        Block(0, 0);
        Block(1, 1);
        Assert.Equal(FloatNews.Crossed, Block(1, 1));
    }

    [Fact]
    public void After_a_draw_off_it_turns_dry_in_its_time_and_is_crossed_once_more()
    {
        Block(0);
        Block(1);
        Assert.Equal(FloatNews.Crossed, Block(1));
        _watch.AfterDrawOff();
        Assert.Equal(FloatNews.None, Block(1));
        Assert.Equal(FloatNews.None, Block(1));
        Assert.Equal(FloatNews.None, Block(1));
        Assert.False(_watch.Dry);
        Assert.Equal(FloatNews.None, Block(0));
        Assert.True(_watch.Dry);
        Assert.Equal(FloatNews.None, Block(1));
        Assert.Equal(FloatNews.Crossed, Block(1));
    }

    [Fact]
    public void One_that_is_still_wet_ten_minutes_after_a_draw_off_has_nothing_more_to_say()
    {
        Block(0);
        Block(1);
        Block(1);
        _watch.AfterDrawOff();
        for (var block = 0; block < 20; block++)
        {
            Assert.False(_watch.Spent);
            Assert.Equal(FloatNews.None, Block(1));
        }

        Assert.True(_watch.Spent);
        Block(0);
        Assert.False(_watch.Dry);
    }

    [Fact]
    public void A_crossing_moves_the_volume_and_leaves_a_doubt()
    {
        var sum = Guess(4.2, 0.15);
        Block(0);
        Block(1);
        Block(1);
        FloatEvidence.Crossed(sum, _watch);
        Assert.InRange(Math.Exp(sum[0].Mean[State.LnVolume]), 4.9, 5.0);
        Assert.InRange(sum[0].Sd(State.LnVolume), 0.02, 0.04);
        Assert.InRange(sum.Weight(1), 0.005, 0.1);
        Assert.Equal(4.2, Math.Exp(sum[1].Mean[State.LnVolume]), 9);
    }

    [Fact]
    public void Still_dry_pushes_the_volume_below_the_float_but_never_rules_it_out()
    {
        var sum = Guess(5.5, 0.1);
        Block(0);
        FloatEvidence.StillDry(sum, _watch);
        var below = Enumerable.Range(0, sum.Count).Sum(i => sum.Weight(i) * (sum[i].Mean[State.LnVolume] < Math.Log(5.05) ? 1 : 0));

        // Bayes by hand: a float that is right reads dry with the chance that 5.5 L, known to 10 %, lie below its 5 L, known to 0.12 L, and that is
        // Phi(-0.9268) = 0.1770 (table of the normal distribution); one that is faulty reads dry whatever there is.
        const double dry = 0.1770;
        Assert.Equal((1 - Process.FloatFaulty) * dry / (((1 - Process.FloatFaulty) * dry) + Process.FloatFaulty), below, 1e-3);
        Assert.InRange(below, 0.5, 0.99);
    }

    [Fact]
    public void Still_dry_says_nothing_about_a_vessel_far_below()
    {
        var sum = Guess(2, 0.1);
        Block(0);
        FloatEvidence.StillDry(sum, _watch);
        Assert.Equal(1, sum.Count);
        Assert.Equal(2, Math.Exp(sum[0].Mean[State.LnVolume]), 6);
    }

    private static GaussianSum Guess(double litres, double sd)
    {
        var sum = new GaussianSum();
        var h = sum.Add();
        for (var i = 0; i < State.Size; i++)
        {
            h.Set(i, 1, 1e-4);
        }

        h.Set(State.LnVolume, Math.Log(litres), sd * sd);
        h.LogWeight = 0;
        return sum;
    }

    private FloatNews Block(params int[] values)
    {
        foreach (var value in values)
        {
            var readings = Readings.None();
            readings[Channel.FloatLow] = Reading.Of(value, default);
            _watch.Add(readings);
        }

        return _watch.Close();
    }
}
