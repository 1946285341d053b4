using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Dissolved solids told from conductivity: a convention, not a measurement. The true ratio is 0.48 for table salt and up to 0.93 for hard water whose
/// hydrogen carbonate is counted whole (PHREEQC 3), 0.54 or 0.73 for one and the same hard tap water, dried or by its ions. So the figure is told with its
/// factor and a doubt of a quarter, and two meters are never compared by it: conductivity is compared with conductivity, at 25 °C. For
/// that reason there is no way from here back to conductivity, and no difference of two.
/// </summary>
/// <param name="Factor">mg/L for each µS/cm at 25 °C, 0.48 to 0.93.</param>
/// <param name="MilligramsPerLitre">The figure, and a quarter less and more.</param>
public readonly record struct DissolvedSolids(double Factor, Doubtful MilligramsPerLitre)
{
    /// <summary>Table salt's usual factor (from memory: common meters).</summary>
    public const double SaltFactor = 0.5;

    /// <summary>The middle of Standard Methods' 0.55 to 0.70 (1030 E, 2510; from memory), as a common convention rounds it.</summary>
    public const double NaturalFactor = 0.64;

    /// <summary>What the ratio is uncertain by unless the water was analysed: 15 to 25 % (PHREEQC mixes, and the published ranges above).</summary>
    private const double Doubt = 0.25;

    /// <summary>Dissolved solids by convention.</summary>
    /// <param name="microsiemensPerCm">Conductivity at 25 °C, 0 to 5000 µS/cm: above, the factors of fresh water have no meaning.</param>
    /// <param name="factor">0.48 to 0.93 mg/L for each µS/cm.</param>
    public static DissolvedSolids FromConductivity(double microsiemensPerCm, double factor = NaturalFactor)
        => new(Bounds.Check(factor, 0.48, 0.93, "mg/L per µS/cm"), Doubtful.ByShare(factor * Bounds.Check(microsiemensPerCm, 0, 5000, "µS/cm"), Doubt));

    /// <summary>The figure as it may be shown: never without its factor and its doubt.</summary>
    public override string ToString() => $"about {MilligramsPerLitre.Middle:0} mg/L ({MilligramsPerLitre.Low:0} to {MilligramsPerLitre.High:0}; a convention, {Factor:0.00##} mg/L per µS/cm)";
}
