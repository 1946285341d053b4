using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// The un-ionised share of ammonia in sea water: Millero 1995 (Geochim. Cosmochim. Acta 59:661), as seacarb's Kn has it, on the sea water scale of pH,
/// salinity 0 to 45, 0 to 45 °C. An electrode set in fresh buffers reads another scale, by about 0.1 in pH (from memory), which moves the share by a quarter.
/// </summary>
public static class SaltWaterAmmonia
{
    /// <summary>pK of the ammonium ion, sea water scale.</summary>
    /// <param name="celsius">0 to 45 °C.</param>
    /// <param name="salinity">0 to 45.</param>
    public static double Pk(double celsius, double salinity)
    {
        var t = Bounds.Check(celsius, 0, 45, "°C") + 273.15;
        var s = Bounds.Check(salinity, 0, 45, "(practical salinity)");
        var lnK = (-6285.33 / t) + (1.635e-4 * t) - 0.25444 + ((0.46532 - (123.7184 / t)) * Math.Sqrt(s)) + ((-0.01992 + (3.17556 / t)) * s);
        return -lnK / Math.Log(10);
    }

    /// <summary>The un-ionised fraction, 0 to 1.</summary>
    /// <param name="ph">pH, 6 to 10.</param>
    /// <param name="celsius">0 to 45 °C.</param>
    /// <param name="salinity">0 to 45.</param>
    public static double Fraction(double ph, double celsius, double salinity)
        => 1 / (1 + Math.Pow(10, Pk(celsius, salinity) - Bounds.Check(ph, 6, 10, "(pH)")));
}
