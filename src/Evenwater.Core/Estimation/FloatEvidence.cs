namespace Evenwater.Core.Estimation;

/// <summary>What a float says about the volume. Its position is uncertain and it may be faulty, so nothing is ever ruled out.</summary>
internal static class FloatEvidence
{
    /// <summary>A faulty float turns wet anywhere in this range of ln volume.</summary>
    private const double FaultyRange = 1.5;

    /// <summary>The water has just reached it: a measurement of the volume, beside a branch in which it is faulty.</summary>
    public static void Crossed(GaussianSum sum, FloatWatch watch)
    {
        var sd = Process.FloatWiden * watch.LnSd;
        for (var i = BranchFaulty(sum, Process.FloatFaulty / FaultyRange) - 1; i >= 0; i--)
        {
            var h = sum[i];
            var innovation = watch.LnVolume - h.Mean[State.LnVolume];
            var total = h.Variance(State.LnVolume) + (sd * sd);
            h.LogWeight += Math.Log(1 - Process.FloatFaulty) - (0.5 * innovation * innovation / total)
                - (0.5 * Math.Log(2 * Math.PI * total));
            h.Update(new Sight([State.LnVolume], [1]), innovation, sd * sd);
        }

        sum.Prune(Process.Keep);
    }

    /// <summary>It turned wet unseen: the water is above it, beside a branch in which it is faulty.</summary>
    public static void FoundWet(GaussianSum sum, FloatWatch watch)
    {
        for (var i = BranchFaulty(sum, Process.FloatFaulty) - 1; i >= 0; i--)
        {
            sum[i].LogWeight += Math.Log(1 - Process.FloatFaulty) + Math.Log(Side(sum[i], watch, 1));
        }

        sum.Prune(Process.Keep);
    }

    /// <summary>Turns <paramref name="view"/>, a copy, into the estimate as seen with what the float shows now.</summary>
    public static void Colour(GaussianSum view, FloatWatch watch)
    {
        if (watch.Dry)
        {
            StillDry(view, watch);
        }
        else if (watch.Touched && watch.CrossedInGap)
        {
            FoundWet(view, watch);
        }
        else if (watch.Touched)
        {
            Crossed(view, watch);
        }
    }

    /// <summary>
    /// Turns <paramref name="view"/>, a copy, into the estimate as seen knowing that the float is still dry. This is never written
    /// back: "dry now" already contains "dry a minute ago", and counting it at every block would be counting it many times.
    /// </summary>
    public static void StillDry(GaussianSum view, FloatWatch watch)
    {
        var count = view.Count;
        for (var i = 0; i < count; i++)
        {
            var h = view[i];
            var faulty = Process.FloatFaulty;
            if (view.Room > 0 && Chance(h, watch, -1) < 0.9)
            {
                var twin = view.Add();
                h.CopyTo(twin);
                twin.LogWeight += Math.Log(Process.FloatFaulty);
                faulty = 0;
            }

            var chance = Side(h, watch, -1);
            h.LogWeight += Math.Log(((1 - Process.FloatFaulty) * chance) + faulty);
        }

        view.Normalise();
    }

    private static int BranchFaulty(GaussianSum sum, double chance)
    {
        sum.Prune(Process.Keep);
        var count = sum.Count;
        for (var i = 0; i < count; i++)
        {
            var twin = sum.Add();
            sum[i].CopyTo(twin);
            twin.LogWeight += Math.Log(chance);
        }

        return count;
    }

    private static double Chance(Hypothesis h, FloatWatch watch, int side) =>
        Normal.Cumulative(side * (h.Mean[State.LnVolume] - watch.LnVolume) / Total(h, watch));

    private static double Total(Hypothesis h, FloatWatch watch) =>
        Math.Sqrt(h.Variance(State.LnVolume) + (watch.LnSd * watch.LnSd));

    /// <summary>
    /// Conditions on the water being above (+1) or below (-1) the float by matching moments (Minka, "Expectation propagation
    /// for approximate Bayesian inference", 2001) and returns how likely that was.
    /// </summary>
    private static double Side(Hypothesis h, FloatWatch watch, int side)
    {
        var total = Total(h, watch);
        var z = side * (h.Mean[State.LnVolume] - watch.LnVolume) / total;
        var chance = Math.Max(Normal.Cumulative(z), 1e-300);
        var ratio = Normal.Density(z) / chance;
        Span<double> cross = stackalloc double[State.Size];
        h.Covariance.AsSpan(State.LnVolume * State.Size, State.Size).CopyTo(cross);
        h.Shrink(cross, side * ratio / total, ratio * (z + ratio) / (total * total));
        return chance;
    }
}
