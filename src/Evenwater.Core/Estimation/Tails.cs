namespace Evenwater.Core.Estimation;

/// <summary>
/// Probabilities too small to count on sampled paths, computed from each hypothesis: a surge hypothesis of weight 0.3 %
/// decides whether the valve closes, and 256 paths would hardly see it.
/// </summary>
internal static class Tails
{
    /// <summary>A hundred hypotheses lighter than this weigh less than a tenth of the smallest risk that closes.</summary>
    private const double LeastWeight = 5e-6;

    // Gauss-Hermite rule of seven points for the standard normal weight (Abramowitz and Stegun, table 25.10, rescaled).
    private static ReadOnlySpan<double> Nodes =>
        [-3.750439717725742, -2.366759410734541, -1.154405394739968, 0, 1.154405394739968, 2.366759410734541, 3.750439717725742];

    private static ReadOnlySpan<double> Weights =>
        [5.482688559722184e-4, 3.075712396758645e-2, 0.2401231786050127, 0.4571428571428573, 0.2401231786050127, 3.075712396758645e-2, 5.482688559722184e-4];

    /// <summary>Probability that vessel and tank are within <paramref name="tolerance"/> now.</summary>
    public static double Matched(GaussianSum view, double tolerance)
    {
        var sum = 0.0;
        for (var i = 0; i < view.Count; i++)
        {
            var h = view[i];
            var mean = h.Mean[State.Mixed] - h.Mean[State.Tank];
            var variance = h.Variance(State.Mixed) + h.Variance(State.Tank) - (2 * h.Covariance[(State.Mixed * State.Size) + State.Tank]);
            var sd = Math.Sqrt(Math.Max(variance, 1e-12));
            sum += view.Weight(i) * (Normal.Cumulative((tolerance - mean) / sd) - Normal.Cumulative((-tolerance - mean) / sd));
        }

        return Math.Clamp(sum, 0, 1);
    }

    /// <summary>Probability that <paramref name="fraction"/> of the vessel's water is the tank's now.</summary>
    public static double Replaced(GaussianSum view, double fraction)
    {
        var (sum, wanted) = (0.0, -Math.Log(1 - fraction));
        for (var i = 0; i < view.Count; i++)
        {
            var (median, sd) = Exchanged.Of(view[i]);
            sum += view.Weight(i) * Normal.Cumulative(Math.Log(median / wanted) / sd);
        }

        return Math.Clamp(sum, 0, 1);
    }

    /// <summary>Probability that the water passes brim less freeboard within <paramref name="seconds"/>, of which
    /// <paramref name="openSeconds"/> with the valve open. A jump of the flow counts from the start, on the careful side, unless
    /// <paramref name="quiet"/>.</summary>
    public static double Brim(GaussianSum view, Prior prior, double seconds, double openSeconds, bool quiet = false)
    {
        var jump = quiet ? 0 : Math.Min(Process.SurgesPerHour * seconds / 3600, 1);
        var sum = 0.0;
        for (var i = 0; i < view.Count; i++)
        {
            var passedSeconds = openSeconds + ((seconds - openSeconds) * view[i].LeakFraction);
            if (view.Weight(i) < LeastWeight || Unthinkable(view[i], prior, passedSeconds))
            {
                continue;
            }

            var plain = Brim(view[i], prior, seconds, passedSeconds, 0, 0);
            var jumped = jump > 0 ? Brim(view[i], prior, seconds, passedSeconds, Process.SurgeMean, Process.SurgeSd) : 0;
            sum += view.Weight(i) * (((1 - jump) * plain) + (jump * jumped));
        }

        return Math.Clamp(sum, 0, 1);
    }

    /// <summary>Not even with everything three and a half standard deviations up and a surge on top: saves most of the work far from the mark.</summary>
    private static bool Unthinkable(Hypothesis h, Prior prior, double passedSeconds)
    {
        const double far = 3.5;
        var volume = Math.Exp(h.Mean[State.LnVolume] + (far * h.Sd(State.LnVolume)));
        var flow = Math.Exp(h.Mean[State.LnFlow] + (far * h.Sd(State.LnFlow)) + Process.SurgeMean + (2 * Process.SurgeSd));
        return volume + (flow * passedSeconds / 60_000) < (prior.BrimLitres * (1 - (far * prior.BrimRelativeSd))) - prior.FreeboardLitres;
    }

    private static double Brim(Hypothesis h, Prior prior, double seconds, double passedSeconds, double jumpMean, double jumpSd)
    {
        var hours = seconds / 3600;
        var own = h.Variance(State.LnFlow);
        var variance = own + (Process.FlowWalk * Process.FlowWalk * hours) + (jumpSd * jumpSd);
        var sd = Math.Sqrt(Math.Max(variance, 1e-12));
        var slope = h.Covariance[(State.LnVolume * State.Size) + State.LnFlow] / Math.Max(variance, 1e-12);
        var rest = Math.Max(h.Variance(State.LnVolume) - (slope * slope * variance), 1e-12);
        var markSd = prior.BrimRelativeSd * prior.BrimLitres;
        var mark = prior.BrimLitres - prior.FreeboardLitres;
        var sum = 0.0;
        for (var k = 0; k < Nodes.Length; k++)
        {
            var off = sd * Nodes[k];
            var flow = Math.Exp(Math.Clamp(h.Mean[State.LnFlow] + jumpMean + (0.5 * h.Mean[State.Drift] * hours) + off, -10, 10));
            var volume = Math.Exp(h.Mean[State.LnVolume] + (slope * off));
            var level = volume + (flow * passedSeconds / 60_000);
            if (prior is { Mode: VesselMode.Standpipe, StandpipeLitres: { } standpipe })
            {
                level = Math.Min(level, Math.Max(volume, standpipe));
            }

            sum += Weights[k] * Normal.Cumulative((level - mark) / Math.Sqrt((markSd * markSd) + (volume * volume * rest)));
        }

        return sum;
    }
}
