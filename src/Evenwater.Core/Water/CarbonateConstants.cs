using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Equilibrium constants of carbonate in fresh water, as -log10: Plummer and Busenberg 1982 (Geochim. Cosmochim. Acta 46:1011), 0 to 90 °C, as
/// phreeqc.dat has them; water's own by the analytic form of the same file's older releases (from memory; 14.000 at 25 °C).
/// </summary>
public static class CarbonateConstants
{
    /// <summary>Henry's constant of CO2, mol/(L atm).</summary>
    /// <param name="celsius">0 to 90 °C.</param>
    public static double PkHenry(double celsius) => -Log(celsius, 108.3865, 0.01985076, -6919.53, -40.45154, 669365);

    /// <summary>CO2 (with H2CO3) to hydrogen carbonate.</summary>
    /// <param name="celsius">0 to 90 °C.</param>
    public static double Pk1(double celsius) => -Log(celsius, -356.3094, -0.06091964, 21834.37, 126.8339, -1684915);

    /// <summary>Hydrogen carbonate to carbonate.</summary>
    /// <param name="celsius">0 to 90 °C.</param>
    public static double Pk2(double celsius) => -Log(celsius, -107.8871, -0.03252849, 5151.79, 38.92561, -563713.9);

    /// <summary>Solubility product of calcite.</summary>
    /// <param name="celsius">0 to 90 °C.</param>
    public static double PkCalcite(double celsius) => -Log(celsius, -171.9065, -0.077993, 2839.319, 71.595, 0);

    /// <summary>Ion product of water.</summary>
    /// <param name="celsius">0 to 90 °C.</param>
    public static double PkWater(double celsius) => -Log(celsius, -283.971, -0.05069842, 13323.0, 102.24447, -1119669);

    private static double Log(double celsius, double a, double b, double c, double d, double e)
    {
        var t = Bounds.Check(celsius, 0, 90, "°C") + 273.15;
        return a + (b * t) + (c / t) + (d * Math.Log10(t)) + (e / (t * t));
    }
}
