namespace Evenwater.Core.Estimation;

/// <summary>
/// How often the vessel's water has been exchanged so far: the negative logarithm of what is left of its first water. Water only ever comes in, and how fast is known by a factor, so it is taken for lognormal. What the
/// linearised motion carries are then its median and, over that, the standard deviation of its logarithm. A normal's tail below none at all would grow with a flow that nothing shows, and what was exchanged long ago
/// would be doubted more and more.
/// </summary>
internal static class Exchanged
{
    /// <summary>So little is taken for the median of a vessel into which nothing has come yet.</summary>
    private const double Least = 1e-6;

    /// <summary>Its median and the standard deviation of its logarithm.</summary>
    public static (double Median, double LogSd) Of(Hypothesis h)
    {
        var median = Math.Max(-h.Mean[State.LnKept], Least);
        return (median, Math.Max(h.Sd(State.LnKept) / median, Least));
    }
}
