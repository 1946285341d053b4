namespace Evenwater.Core.Estimation;

/// <summary>
/// How often the vessel's water has been exchanged so far, the negative logarithm of what is left of its first water. Water only ever comes in, and how fast is known by a factor: so it is taken for lognormal,
/// by its mean and standard deviation. A normal's tail below none at all would grow with a flow that nothing shows, and what has been exchanged would be doubted more, the longer it goes on.
/// </summary>
internal static class Exchanged
{
    /// <summary>So little is taken for the mean of a vessel into which nothing has come yet.</summary>
    private const double Least = 1e-6;

    /// <summary>Its median and the standard deviation of its logarithm.</summary>
    public static (double Median, double LogSd) Of(Hypothesis h)
    {
        var mean = Math.Max(-h.Mean[State.LnKept], Least);
        var variance = Math.Log(1 + (h.Variance(State.LnKept) / (mean * mean)));
        return (mean * Math.Exp(-variance / 2), Math.Max(Math.Sqrt(variance), Least));
    }
}
