using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// What the US environmental agency holds bearable for wild waters: fresh water, EPA-822-R-13-002 (2013), formulas from memory, which give its published
/// magnitudes of 17 and 1.9 mg/L at pH 7 and 20 °C; salt water, EPA 440/5-88-004 (1989), from memory. For judging a plan, not for treating animals.
/// pH 6.5 to 9.0 and 0 to 30 °C, the span of its tables (from memory).
/// </summary>
public static class AmmoniaCriteria
{
    /// <summary>Salt water, one hour, as un-ionised ammonia, mg NH3/L (1989; from memory).</summary>
    public const double SaltAcuteUnionisedMilligramsPerLitre = 0.233;

    /// <summary>Salt water, four days, as un-ionised ammonia, mg NH3/L (1989; from memory).</summary>
    public const double SaltChronicUnionisedMilligramsPerLitre = 0.035;

    /// <summary>Fresh water, mean of one hour (CMC), mg of total ammonia nitrogen per litre.</summary>
    /// <param name="ph">6.5 to 9.0.</param>
    /// <param name="celsius">0 to 30 °C.</param>
    public static double FreshAcuteMilligramsPerLitre(double ph, double celsius)
    {
        Check(ph, celsius);
        var salmonids = Sigmoid(0.275, 39.0, 7.204, ph);
        var mussels = 0.7249 * Sigmoid(0.0114, 1.6181, 7.204, ph) * 23.12 * Math.Pow(10, 0.036 * (20 - celsius));
        return Math.Min(salmonids, mussels);
    }

    /// <summary>Fresh water, mean of 30 days (CCC), mg of total ammonia nitrogen per litre; no four days above 2.5 times as much.</summary>
    /// <param name="ph">6.5 to 9.0.</param>
    /// <param name="celsius">0 to 30 °C.</param>
    public static double FreshChronicMilligramsPerLitre(double ph, double celsius)
    {
        Check(ph, celsius);
        return 0.8876 * Sigmoid(0.0278, 1.1994, 7.688, ph) * 2.126 * Math.Pow(10, 0.028 * (20 - Math.Max(celsius, 7)));
    }

    private static double Sigmoid(double atHigh, double atLow, double middle, double ph)
        => (atHigh / (1 + Math.Pow(10, middle - ph))) + (atLow / (1 + Math.Pow(10, ph - middle)));

    private static void Check(double ph, double celsius)
    {
        Bounds.Check(ph, 6.5, 9, "(pH)");
        Bounds.Check(celsius, 0, 30, "°C");
    }
}
