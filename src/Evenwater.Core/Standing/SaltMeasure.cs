using Evenwater.Core.Water;

namespace Evenwater.Core.Standing;

/// <summary>A number that goes with the salt in the water as conductivity does not quite: it rises more slowly the more there is.</summary>
internal static class SaltMeasure
{
    /// <summary>
    /// Conductivity goes with the amount of salt to this power in fresh water: from 0.001 to 0.01 mol/L of potassium chloride it rises from 147 to 1413 µS/cm
    /// (ISO 7888, table of standards; from memory), and ln(1413/147) / ln 10 = 0.983.
    /// </summary>
    public const double FreshPower = 0.983;

    /// <summary>From here on practical salinity is used; its scale begins at 2, 3797 µS/cm at 25 °C (PSS-78).</summary>
    private const double SaltFromMicrosiemensPerCm = 4000;

    /// <summary>Whether a reading at 25 °C is of salt water, and on the scale of salinity: to 42, 62.4 mS/cm (PSS-78).</summary>
    public static bool IsSalt(double microsiemensPerCm) => microsiemensPerCm >= SaltFromMicrosiemensPerCm && PracticalSalinity.IsInRange(microsiemensPerCm / 1000, 25);

    /// <summary>In units of no meaning: only ratios count.</summary>
    /// <param name="microsiemensPerCm">At 25 °C, more than 0; of salt water on the scale of salinity.</param>
    /// <param name="salt">Whether the water is salt; one and the same for all that is compared.</param>
    public static double Of(double microsiemensPerCm, bool salt) => salt
        ? PracticalSalinity.Of(microsiemensPerCm / 1000, 25)
        : Math.Pow(microsiemensPerCm, 1 / FreshPower);

    /// <summary>The salt of each litre after a change of conductivity, over what it was.</summary>
    /// <param name="microsiemensPerCm">Before, at 25 °C, more than 0.</param>
    /// <param name="percent">100 times the logarithm of after over before.</param>
    public static double Ratio(double microsiemensPerCm, double percent)
    {
        var after = microsiemensPerCm * Math.Exp(percent / 100);
        var salt = IsSalt(microsiemensPerCm) && IsSalt(after);
        return Of(after, salt) / Of(microsiemensPerCm, salt);
    }
}
