using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Activity coefficients of ions by Davies (1962, Ion Association): log10 g = -A z² (sqrt(I) / (1 + sqrt(I)) - 0.3 I), to an ionic strength of 0.5 mol/L. A and water's
/// dielectric constant by Truesdell and Jones 1974 (from memory): 0.509 and 78.5 at 25 °C.
/// </summary>
public static class IonActivity
{
    /// <summary>Activity coefficient, 0 to 1.</summary>
    /// <param name="charge">1 or 2, of either sign.</param>
    /// <param name="ionicStrength">0 to 0.5 mol/L.</param>
    /// <param name="celsius">0 to 90 °C.</param>
    public static double Coefficient(int charge, double ionicStrength, double celsius)
    {
        var root = Math.Sqrt(Bounds.Check(ionicStrength, 0, 0.5, "mol/L"));
        return Math.Pow(10, -Slope(celsius) * charge * charge * ((root / (1 + root)) - (0.3 * ionicStrength)));
    }

    /// <summary>The A of Debye and Hückel, (L/mol)^0.5, 0 to 90 °C.</summary>
    public static double Slope(double celsius)
    {
        var t = Bounds.Check(celsius, 0, 90, "°C") + 273.15;
        var dielectric = 2727.586 + (0.6224107 * t) - (466.9151 * Math.Log(t)) - (52000.87 / t);
        return 1.82483e6 * Math.Sqrt(FreshWater.KilogramsPerCubicMetre(celsius) / 1000) / Math.Pow(dielectric * t, 1.5);
    }
}
