using Evenwater.Core.Estimation;

namespace Evenwater.CoreTests.Estimation;

public sealed class HypothesisTests
{
    private static readonly double[] Spreads = [0.1, 0.3, 0.1, 5, 4, 3, 0.02, 1];

    [Fact]
    public void The_filter_carries_the_mean_like_the_closed_form_of_a_filling_vessel()
    {
        // V = 2 L, 20 mL/min for 30 s in each of 240 steps: C = Ct + (C0 - Ct) V0/V.
        var h = Known(2, 20, 600, 200);
        var unscented = new Unscented();
        for (var i = 0; i < 240; i++)
        {
            h.Mean[State.Drift] = 0;
            unscented.Predict(h, new Motion(30, 1, 0));
        }

        // The flow's doubt grows meanwhile, and the mean of an exponential lies a little above.
        Assert.InRange(Math.Exp(h.Mean[State.LnVolume]), 4.395, 4.41);
        Assert.InRange(h.Mean[State.Mixed], 381.3, 382.3);
    }

    [Fact]
    public void A_closed_valve_adds_nothing_and_a_leaking_one_its_share()
    {
        var h = Known(2, 20, 600, 200);
        h.LeakFraction = 0.1;
        new Unscented().Predict(h, new Motion(3000, 0, 0));
        Assert.InRange(Math.Exp(h.Mean[State.LnVolume]), 2.09, 2.11);
        h = Known(2, 20, 600, 200);
        new Unscented().Predict(h, new Motion(3000, 0, 0));
        Assert.Equal(2, Math.Exp(h.Mean[State.LnVolume]), 6);
    }

    [Fact]
    public void An_update_narrows_what_it_sees_and_what_hangs_on_it()
    {
        var h = Known(2, 20, 600, 200);
        h.Set(State.LnVolume, Math.Log(2), 0.01);
        h.Set(State.LnFlow, Math.Log(20), 0);
        h.Share(State.LnFlow, State.LnVolume, 1);
        Span<double> row = stackalloc double[State.Size];
        row[State.LnVolume] = 1;
        h.Update(row, 0.1, 0.01);
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
        sum.Branch(0.001);
        sum.Prune(32);
        Assert.Equal(2, sum.Count);
        Assert.Equal(0.001, sum.Weight(1), 9);
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
        double[] mean = [Math.Log(litres), Math.Log(flow), 0, mixed, mixed, tank, 0, 0];
        for (var i = 0; i < State.Size; i++)
        {
            h.Set(i, mean[i], 0);
        }

        return h;
    }
}
