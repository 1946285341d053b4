using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// How much of all ammonia is the poisonous, un-ionised part, in fresh water: Emerson, Russo, Lund and Thurston 1975, J. Fish. Res. Board Can. 32:2379,
/// pKa = 0.09018 + 2729.92 / T, for 0 to 50 °C. Sea water holds 0.8 to 1.0 times as much
/// (<see cref="SaltWaterAmmonia"/>), so this errs on the safe side there.
/// </summary>
public static class UnionisedAmmonia
{
    /// <summary>From here on it may harm fish, mg/L (UF/IFAS FA16, as read in a reproduction).</summary>
    public const double HarmfulMilligramsPerLitre = 0.05;

    /// <summary>About here it kills, mg/L (the same).</summary>
    public const double KillingMilligramsPerLitre = 2;

    /// <summary>Whether the formula was published for a temperature: 0 to 50 °C.</summary>
    public static bool IsInRange(double celsius) => celsius is >= 0 and <= 50;

    /// <summary>The fraction, 0 to 1.</summary>
    /// <param name="ph">pH, 0 to 14.</param>
    /// <param name="celsius">-20 to 60 °C; below 0 and above 50 the formula is held (see <see cref="IsInRange"/>).</param>
    public static double Fraction(double ph, double celsius) =>
        1 / (1 + Math.Pow(10, 0.09018 + (2729.92 / (Math.Clamp(Bounds.Check(celsius, -20, 60, "°C"), 0, 50) + 273.15)) - Bounds.Check(ph, 0, 14, "(pH)")));
}
