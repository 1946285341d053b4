namespace Evenwater.Core.Mixing;

/// <summary>
/// Conductivity is not conserved on mixing: ions screen each other less when diluted, so a blend conducts more than the straight line
/// between its parts, never less (Onsager; PHREEQC mixes of table waters; PSS-78 for sea water). Here the line is used everywhere, and this
/// bound says how far above it the truth may lie. It is one-sided: it never makes a vessel look nearer to softer water than the line does.
/// </summary>
public static class MixingExcess
{
    /// <summary>
    /// Envelope of PHREEQC 3 mixes (NaCl, Ca(HCO3)2, hard tap water, 0 to 3000 µS/cm) and of PSS-78 from fresh to sea water; the worst needs
    /// 0.112. Not covered: two waters of like conductivity and unlike salts, whose blend may leave a line that has no slope.
    /// </summary>
    private const double Scale = 0.115;

    /// <summary>
    /// Most that a blend can read above the straight line, as a fraction of the two waters' difference; <paramref name="shareOfStronger"/> is
    /// the share of the more conductive water, 0 to 1. 0 at both ends, at most 0.0443.
    /// </summary>
    public static double UpperFraction(double shareOfStronger)
    {
        var share = Math.Clamp(shareOfStronger, 0, 1);
        return Scale * Math.Sqrt(share) * (1 - share);
    }

    /// <summary>The highest conductivity that a blend on the line at <paramref name="linear"/> can have, in the unit of its three arguments.</summary>
    public static double Highest(double linear, double one, double other)
    {
        var (weaker, stronger) = (Math.Min(one, other), Math.Max(one, other));
        var span = stronger - weaker;
        return span == 0 ? linear : linear + (span * UpperFraction((linear - weaker) / span));
    }
}
