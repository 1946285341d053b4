namespace Evenwater.Core.Estimation;

/// <summary>When two hypotheses have become one, and how they are joined without losing spread.</summary>
internal static class Merging
{
    /// <summary>Means closer than this many (pooled) standard deviations, squared and summed, say the same.</summary>
    private const double Close = 0.25;

    /// <summary>Variances must agree within this factor: a young jump hypothesis shares its parent's mean but not its doubt.</summary>
    private const double Alike = 1.7;

    public static bool SaysTheSame(Hypothesis a, Hypothesis b)
    {
        if (a.Clogs != b.Clogs || !a.LeakFraction.Equals(b.LeakFraction) || a.Overflowing != b.Overflowing || a.DoubtsTank != b.DoubtsTank || a.DoubtsVessel != b.DoubtsVessel)
        {
            return false;
        }

        return Distance(a, b, State.LnFlow) + Distance(a, b, State.LnVolume) + Distance(a, b, State.Drift)
            + Distance(a, b, State.LnGain) + Distance(a, b, State.SlowShare) + Distance(a, b, State.Touch) + Distance(a, b, State.Mixed) < Close;
    }

    /// <summary>Joins <paramref name="b"/> into <paramref name="a"/>, keeping mean and covariance of the pair.</summary>
    public static void Into(Hypothesis a, Hypothesis b)
    {
        var share = 1 / (1 + Math.Exp(a.LogWeight - b.LogWeight));
        Span<double> d = stackalloc double[State.Size];
        for (var i = 0; i < State.Size; i++)
        {
            d[i] = b.Mean[i] - a.Mean[i];
            a.Mean[i] += share * d[i];
        }

        for (var i = 0; i < State.Size; i++)
        {
            for (var j = 0; j < State.Size; j++)
            {
                ref var c = ref a.Covariance[(i * State.Size) + j];
                c += (share * (b.Covariance[(i * State.Size) + j] - c)) + (share * (1 - share) * d[i] * d[j]);
            }
        }

        a.LogWeight -= Math.Log(1 - share);
    }

    private static double Distance(Hypothesis a, Hypothesis b, int component)
    {
        var va = a.Variance(component);
        var vb = b.Variance(component);
        if (va > Alike * vb || vb > Alike * va)
        {
            return double.PositiveInfinity;
        }

        var d = a.Mean[component] - b.Mean[component];
        return d * d / Math.Max(va + vb, 1e-12);
    }
}
