using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Salt waters poured together. Salt is conserved by mass, and absolute salinity is practical salinity times 35.16504 / 35 (TEOS-10, reference
/// composition), so the mean goes by kilograms, not by litres. Conductivity is not conserved: from fresh to sea water a straight line between the two
/// readings is up to 7 % (1.3 in salinity) off. Where two waters are more than about 10 apart, convert to salinity first.
/// </summary>
public static class SaltMixing
{
    /// <summary>Grams of salt per kilogram for each step of practical salinity (TEOS-10, reference composition).</summary>
    private const double GramsPerKilogram = 35.16504 / 35;

    private const double LitresInCubicMetre = 1000;

    /// <summary>Absolute salinity, g/kg, of practical salinity 0 to 42.</summary>
    public static double AbsoluteGramsPerKilogram(double salinity) => GramsPerKilogram * Bounds.Check(salinity, 0, PracticalSalinity.Max, "(practical salinity)");

    /// <summary>Practical salinity of two volumes poured together, both at one temperature.</summary>
    /// <param name="litres">Of the first water, above 0 to 1 000 000 L.</param>
    /// <param name="salinity">Its practical salinity, 0 to 42.</param>
    /// <param name="otherLitres">Of the second, L.</param>
    /// <param name="otherSalinity">Its practical salinity, 0 to 42.</param>
    /// <param name="celsius">-2 to 40 °C.</param>
    public static double Salinity(double litres, double salinity, double otherLitres, double otherSalinity, double celsius)
    {
        var (one, other) = (Kilograms(litres, salinity, celsius), Kilograms(otherLitres, otherSalinity, celsius));
        return ((one * salinity) + (other * otherSalinity)) / (one + other);
    }

    /// <summary>Volume of the two together, L: up to 0.02 % less than the sum. Arguments as in <see cref="Salinity"/>.</summary>
    public static double Litres(double litres, double salinity, double otherLitres, double otherSalinity, double celsius)
        => LitresInCubicMetre * (Kilograms(litres, salinity, celsius) + Kilograms(otherLitres, otherSalinity, celsius))
            / SeaDensity.KilogramsPerCubicMetre(Salinity(litres, salinity, otherLitres, otherSalinity, celsius), celsius);

    private static double Kilograms(double litres, double salinity, double celsius)
        => Bounds.Check(litres, double.Epsilon, Volume.MaxLitres, "L") * SeaDensity.KilogramsPerCubicMetre(salinity, celsius) / LitresInCubicMetre;
}
