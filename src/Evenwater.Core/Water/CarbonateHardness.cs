using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>Carbonate hardness in German degrees, pH and free CO2: the aquarist's rule, and what the equilibrium gives.</summary>
public static class CarbonateHardness
{
    /// <summary>1 °d is 10 mg/L of CaO (DIN; molar mass 56.077): 0.3566 meq/L.</summary>
    public const double MilliequivalentsPerDegree = 0.3566;

    /// <summary>
    /// The rule CO2 = 3 KH 10^(7 - pH), mg/L (common practice): at 25 °C 8 to 13 % too low, and wrong without a limit in water with phosphate or humic acids.
    /// </summary>
    /// <param name="degrees">0 to 50 °d.</param>
    /// <param name="ph">5 to 9.</param>
    public static double RuleMilligramsPerLitre(double degrees, double ph) => 3 * Bounds.Check(degrees, 0, 50, "°d") * Math.Pow(10, 7 - Bounds.Check(ph, 5, 9, "(pH)"));

    /// <summary>Free CO2 by the equilibrium, mg/L; carbonate must be all the alkalinity that there is.</summary>
    /// <param name="degrees">0 to 50 °d.</param>
    /// <param name="ph">5 to 9.</param>
    /// <param name="celsius">0 to 40 °C.</param>
    public static double CarbonDioxideMilligramsPerLitre(double degrees, double ph, double celsius) => Carbonate.CarbonDioxideMilligramsPerLitre(
        Bounds.Check(ph, 5, 9, "(pH)"), MilliequivalentsPerDegree * Bounds.Check(degrees, 0, 50, "°d"), Bounds.Check(celsius, 0, 40, "°C"));

    /// <summary>By how much the rule is off, as a fraction of the equilibrium's figure: -0.08 to -0.13 at 25 °C. Arguments as above.</summary>
    public static double RuleError(double degrees, double ph, double celsius)
        => (RuleMilligramsPerLitre(degrees, ph) / CarbonDioxideMilligramsPerLitre(degrees, ph, celsius)) - 1;
}
