using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

public sealed class HypothesisTests
{
    private static readonly Prior NoAir = new() { StartVolumeLitres = 2, BrimLitres = 10, ToleranceMicrosiemensPerCm = 20, EvaporationMillilitresPerHour = 0 };

    private static readonly double[] Spreads = [0.1, 0.3, 0.1, 0.1, 5, 3, 0.1, 1, 0.4, 2, 4, 0.02, 1, 0.5, 5, 0.05, 0.02, 0.1, 2, 0.1];

    [Fact]
    public void The_filter_carries_the_mean_like_the_closed_form_of_a_filling_vessel()
    {
        // V = 2 L, 20 mL/min for 30 s in each of 240 steps: C = Ct + (C0 - Ct) V0/V (any text on stirred tanks).
        var h = Known(2, 20, 600, 200);
        for (var i = 0; i < 240; i++)
        {
            h.Mean[State.Drift] = 0;
            new Motion(30, 1, NoAir, null, Math.Log(2)).Move(h);
        }

        Assert.Equal(4.4, Math.Exp(h.Mean[State.LnVolume]), 6);
        Assert.Equal(200 + (400 * 2 / 4.4), h.Mean[State.Mixed], 6);
    }

    [Fact]
    public void A_vessel_that_overflows_is_washed_out_exponentially()
    {
        // The same text: C = Ct + (C0 - Ct) exp(-q t/V); 20 mL/min for 2 h through 2 L is 1.2 volumes.
        var h = Known(2, 20, 600, 200);
        h.Overflowing = true;
        for (var i = 0; i < 240; i++)
        {
            h.Mean[State.Drift] = 0;
            new Motion(30, 1, NoAir, null, Math.Log(2)).Move(h);
        }

        Assert.Equal(2, Math.Exp(h.Mean[State.LnVolume]), 9);
        Assert.Equal(200 + (400 * Math.Exp(-1.2)), h.Mean[State.Mixed], 6);
    }

    [Fact]
    public void Warmth_follows_the_closed_form_of_a_cooling_body_when_nothing_drips()
    {
        // Newton's law of cooling: T = R + (T0 - R) exp(-k t), with k = 0.5/h over 3 h.
        var h = Known(Math.Sqrt(20), 20, 600, 200);
        h.Mean[State.Warmth] = 26;
        h.Mean[State.Surroundings] = 20;
        h.Mean[State.LnExchange] = Math.Log(0.5);
        for (var i = 0; i < 360; i++)
        {
            new Motion(30, 0, NoAir, 24, Math.Log(2)).Move(h);
        }

        Assert.Equal(20 + (6 * Math.Exp(-1.5)), h.Mean[State.Warmth], 6);
    }

    [Theory]
    [InlineData(false, 1.0, 0.0)]
    [InlineData(true, 1.0, 0.0)]
    [InlineData(false, 0.0, 0.2)]
    public void The_covariance_moves_by_the_derivative_of_the_mean(bool overflows, double open, double leak)
    {
        var motion = new Motion(30, open, NoAir, 24, Math.Log(2));
        var h = Typical(overflows, leak);
        var noise = Typical(overflows, leak);
        motion.Move(noise); // with no spread before, all that is there afterwards is the step's own noise
        foreach (var i in Enumerable.Range(0, State.Size).Where(i => i != State.Drift)) // half a step of drift moves the water by 2e-4 of a drop; the filter leaves that out
        {
            var moved = Typical(overflows, leak);
            moved.Set(i, moved.Mean[i], 1);
            motion.Move(moved);
            var (up, down) = (Typical(overflows, leak), Typical(overflows, leak));
            var step = 1e-5 * Math.Max(1, Math.Abs(h.Mean[i]));
            up.Mean[i] += step;
            down.Mean[i] -= step;
            motion.Move(up);
            motion.Move(down);
            for (var j = 0; j < State.Size; j++)
            {
                for (var k = 0; k < State.Size; k++)
                {
                    var expected = (up.Mean[j] - down.Mean[j]) * (up.Mean[k] - down.Mean[k]) / (4 * step * step);
                    var found = moved.Covariance[(j * State.Size) + k] - noise.Covariance[(j * State.Size) + k];
                    Assert.True(Math.Abs(found - expected) <= 1e-5 * (1 + Math.Abs(expected)), $"{i}: ({j},{k}) {found} is not {expected}");
                }
            }
        }
    }

    [Fact]
    public void A_closed_valve_adds_nothing_and_a_leaking_one_its_share()
    {
        var h = Known(2, 20, 600, 200);
        h.LeakFraction = 0.1;
        new Motion(3000, 0, NoAir, null, Math.Log(2)).Move(h);
        Assert.Equal(2.1, Math.Exp(h.Mean[State.LnVolume]), 6);
        h = Known(2, 20, 600, 200);
        new Motion(3000, 0, NoAir, null, Math.Log(2)).Move(h);
        Assert.Equal(2, Math.Exp(h.Mean[State.LnVolume]), 9);
    }

    [Fact]
    public void An_update_narrows_what_it_sees_and_what_hangs_on_it()
    {
        var h = Known(2, 20, 600, 200);
        h.Set(State.LnVolume, Math.Log(2), 0.01);
        h.Set(State.LnFlow, Math.Log(20), 0);
        h.Share(State.LnFlow, State.LnVolume, 1);
        h.Update(new Sight([State.LnVolume], [1]), 0.1, 0.01);
        Assert.Equal(0.005, h.Variance(State.LnVolume), 9);
        Assert.Equal(Math.Log(2) + 0.05, h.Mean[State.LnVolume], 9);
        Assert.Equal(Math.Log(20) + 0.05, h.Mean[State.LnFlow], 9);
    }

    [Fact]
    public void Merging_keeps_mean_and_spread_of_the_pair()
    {
        var a = Known(2, 20, 600, 200);
        var b = Known(2, 20, 600, 200);
        b.Mean[State.LnFlow] += 0.2;
        a.Set(State.LnFlow, a.Mean[State.LnFlow], 0.04);
        b.Set(State.LnFlow, b.Mean[State.LnFlow], 0.04);
        a.LogWeight = Math.Log(0.75);
        b.LogWeight = Math.Log(0.25);
        Merging.Into(a, b);
        Assert.Equal(1, Math.Exp(a.LogWeight), 9);
        Assert.Equal(Math.Log(20) + 0.05, a.Mean[State.LnFlow], 9);
        Assert.Equal(0.04 + (0.75 * 0.25 * 0.04), a.Variance(State.LnFlow), 9);
    }

    [Fact]
    public void A_young_jump_hypothesis_is_not_merged_back_into_its_parent()
    {
        var sum = new GaussianSum();
        Spread(sum.Add());
        sum.Normalise();
        Births.OfFlow(sum, 1.0 / 30);
        sum.Prune(32);
        Assert.Equal(4, sum.Count);
        double[] expected = [Process.SurgesPerHour / 30, Process.BlocksPerHour / 30, Process.ClogsPerHour / 30];
        Assert.Equal(expected.Order(), Enumerable.Range(1, 3).Select(sum.Weight).Order(), (a, b) => Math.Abs(a - b) < 1e-9);
    }

    /// <summary>What a leak lets through may jump by chance; the jump's weight is the leak's own, or leaks gained a tenth on the rest every hour with nothing seen.</summary>
    [Fact]
    public void What_leaks_bears_out_of_its_own_weight()
    {
        var sum = new GaussianSum();
        Spread(sum.Add());
        Spread(sum.Add());
        sum[1].LeakFraction = 0.2;
        sum.Normalise();
        Births.OfLeakingFlow(sum, 0.5);
        Assert.Equal(3, sum.Count);
        Assert.Equal(1, Enumerable.Range(0, 3).Sum(sum.Weight), 12);
        Assert.Equal(0.5 * Process.SurgesPerHour / 2, sum.Weight(2), 12);
    }

    /// <summary>A leak has let in a litre: what is not known of the evaporation must not be less for it, or it weighs more only because it foretells more narrowly.</summary>
    [Fact]
    public void The_doubt_of_the_evaporation_is_one_for_all_that_are_weighed_against_each_other()
    {
        var (tight, leaking) = (Known(2, 20, 600, 200), Known(4, 20, 600, 200));
        var motion = new Motion(30, 0, NoAir, null, Math.Log(2));
        motion.Move(tight);
        motion.Move(leaking);
        Assert.Equal(tight.Variance(State.Mixed), leaking.Variance(State.Mixed), 12);
        var less = Known(2, 20, 600, 200);
        new Motion(30, 0, NoAir, null, Math.Log(4)).Move(less);
        Assert.True(less.Variance(State.Mixed) < 0.99 * tight.Variance(State.Mixed)); // the more water it is, the less a misjudged evaporation does
    }

    [Fact]
    public void What_is_broken_is_dropped_and_the_rest_keeps_all_the_weight()
    {
        var sum = new GaussianSum();
        Spread(sum.Add());
        Spread(sum.Add());
        sum[1].Mean[State.Probe] = double.NaN;
        Assert.True(sum.Normalise());
        Assert.Equal(1, sum.Count);
        Assert.Equal(1, sum.Weight(0), 12);
    }

    private static void Spread(Hypothesis h)
    {
        Known(2, 20, 600, 200).CopyTo(h);
        for (var i = 0; i < State.Size; i++)
        {
            h.Set(i, h.Mean[i], Spreads[i] * Spreads[i]);
        }
    }

    private static Hypothesis Known(double litres, double flow, double mixed, double tank)
    {
        var h = new Hypothesis();
        double[] mean = [Math.Log(litres), Math.Log(flow), 0, 0, mixed, tank, 0, 20, -1, 20, mixed, 0, 0, 1, mixed, 0, 0, 0, 0, 0];
        for (var i = 0; i < State.Size; i++)
        {
            h.Set(i, mean[i], 0);
        }

        return h;
    }

    private static Hypothesis Typical(bool overflows, double leak)
    {
        var h = Known(3, 25, 500, 300);
        h.Overflowing = overflows;
        h.LeakFraction = leak;
        h.Mean[State.Drift] = -0.05;
        h.Mean[State.Head] = 0.3;
        h.Mean[State.Probe] = 505;
        h.Mean[State.Slow] = 520;
        h.Mean[State.Wander] = 0.4;
        return h;
    }
}
