using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Carbonate in fresh water. Alkalinity and dissolved carbon are conserved when waters mix; pH and CO2 follow from both. Constants of Plummer and
/// Busenberg, activities by Davies at the ionic strength of hard water, 1.5 times its alkalinity (calcium hydrogen carbonate; a tenth of that more or
/// less moves a pH by 0.001). Not for sea water (borate), nor with phosphate or humic acids, which hold alkalinity of their own.
/// </summary>
public static class Carbonate
{
    /// <summary>Highest alkalinity, meq/L: 56 German degrees, beyond any tank.</summary>
    public const double MaxMilliequivalents = 20;

    /// <summary>The air of today, parts of CO2 in a million (rounded; common knowledge, no source).</summary>
    public const double AirPartsPerMillion = 420;

    private const double LowestPh = 3;
    private const double HighestPh = 11;
    private const double StrengthPerEquivalent = 1.5;
    private const double CarbonDioxideGramsPerMole = 44.01;
    private const double MilliInOne = 1000;

    /// <summary>Dissolved inorganic carbon, mmol/L.</summary>
    /// <param name="ph">3 to 11.</param>
    /// <param name="alkalinityMilliequivalents">0 to 20 meq/L; a pH that so little alkalinity can not have is refused.</param>
    /// <param name="celsius">0 to 90 °C.</param>
    public static double CarbonMillimoles(double ph, double alkalinityMilliequivalents, double celsius)
    {
        var water = Water(alkalinityMilliequivalents, celsius);
        var carbon = MilliInOne * water.Carbon(Bounds.Check(ph, LowestPh, HighestPh, "(pH)"));
        return carbon >= 0 ? carbon
            : throw new ArgumentOutOfRangeException(nameof(ph), ph, $"Water of {alkalinityMilliequivalents:0.###} meq/L can not have this pH by carbonate alone; measure again.");
    }

    /// <summary>pH of a water of known alkalinity and carbon, 3 to 11; the end where it would lie beyond.</summary>
    /// <param name="alkalinityMilliequivalents">0 to 20 meq/L.</param>
    /// <param name="carbonMillimoles">0 to 100 mmol/L.</param>
    /// <param name="celsius">0 to 90 °C.</param>
    public static double Ph(double alkalinityMilliequivalents, double carbonMillimoles, double celsius)
    {
        var water = Water(alkalinityMilliequivalents, celsius);
        var carbon = Bounds.Check(carbonMillimoles, 0, 100, "mmol/L") / MilliInOne;
        return Bisection.Rising(ph => -water.Carbon(ph), -carbon, LowestPh, HighestPh);
    }

    /// <summary>Free carbon dioxide, mg/L; arguments as in <see cref="CarbonMillimoles"/>.</summary>
    public static double CarbonDioxideMilligramsPerLitre(double ph, double alkalinityMilliequivalents, double celsius)
    {
        CarbonMillimoles(ph, alkalinityMilliequivalents, celsius);
        return MilliInOne * CarbonDioxideGramsPerMole * Water(alkalinityMilliequivalents, celsius).CarbonDioxide(ph);
    }

    /// <summary>pH at rest with air. Aerated or dripped water goes there, and a bag's water, full of CO2, rises to it when it is opened.</summary>
    /// <param name="alkalinityMilliequivalents">0 to 20 meq/L.</param>
    /// <param name="celsius">0 to 90 °C.</param>
    /// <param name="partsPerMillion">CO2 in the air, 100 to 10 000; a closed room with people has 1000 and more.</param>
    public static double OpenPh(double alkalinityMilliequivalents, double celsius, double partsPerMillion = AirPartsPerMillion)
    {
        var water = Water(alkalinityMilliequivalents, celsius);
        var dissolved = Math.Pow(10, -CarbonateConstants.PkHenry(celsius)) * Bounds.Check(partsPerMillion, 100, 10_000, "ppm") * 1e-6;
        return Bisection.Rising(ph => -water.CarbonDioxide(ph), -dissolved, LowestPh, HighestPh);
    }

    private static Equilibrium Water(double alkalinityMilliequivalents, double celsius)
    {
        var alkalinity = Bounds.Check(alkalinityMilliequivalents, 0, MaxMilliequivalents, "meq/L") / MilliInOne;
        double Activity(int charge) => IonActivity.Coefficient(charge, StrengthPerEquivalent * alkalinity, celsius);
        return new Equilibrium(
            alkalinity, Math.Pow(10, -CarbonateConstants.Pk1(celsius)), Math.Pow(10, -CarbonateConstants.Pk2(celsius)), Math.Pow(10, -CarbonateConstants.PkWater(celsius)), Activity(1), Activity(2));
    }

    /// <summary>Constants and activity coefficients of one water; everything in mol/L or eq/L.</summary>
    private readonly record struct Equilibrium(double Alkalinity, double K1, double K2, double Kw, double Single, double Double)
    {
        /// <summary>Free CO2 that carries the alkalinity at a pH: falls as pH rises; negative where hydroxide alone is more than the alkalinity.</summary>
        public double CarbonDioxide(double ph)
        {
            var h = Math.Pow(10, -ph);
            return (Alkalinity + (h / Single) - (Kw / h / Single)) / (Hydrogencarbonate(h) + (2 * Ordinary(h)));
        }

        public double Carbon(double ph)
        {
            var h = Math.Pow(10, -ph);
            return CarbonDioxide(ph) * (1 + Hydrogencarbonate(h) + Ordinary(h));
        }

        private double Hydrogencarbonate(double h) => K1 / h / Single;

        private double Ordinary(double h) => K1 * K2 / (h * h) / Double;
    }
}
