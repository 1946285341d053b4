using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Density of sea water at one atmosphere by EOS-80: UNESCO Technical Papers in Marine Science 44 (1983), p. 17 ff.; practical salinity 0 to 42, -2 to 40 °C.
/// Within 0.004 kg/m³ of TEOS-10 at 25 °C. At salinity 0 it is the standard mean ocean water of Bigg, 1967.
/// </summary>
public static class SeaDensity
{
    /// <summary>Lowest temperature, °C.</summary>
    public const double MinCelsius = -2;

    /// <summary>Highest temperature, °C.</summary>
    public const double MaxCelsius = 40;

    /// <summary>Density, kg/m³.</summary>
    /// <param name="salinity">Practical salinity, 0 to 42.</param>
    /// <param name="celsius">-2 to 40 °C.</param>
    public static double KilogramsPerCubicMetre(double salinity, double celsius)
    {
        var s = Bounds.Check(salinity, 0, PracticalSalinity.Max, "(practical salinity)");
        var t = TemperatureScale.To1968(Bounds.Check(celsius, MinCelsius, MaxCelsius, "°C"));
        var pure = 999.842594 + (t * (6.793952e-2 + (t * (-9.095290e-3 + (t * (1.001685e-4 + (t * (-1.120083e-6 + (t * 6.536332e-9)))))))));
        var linear = 0.824493 + (t * (-4.0899e-3 + (t * (7.6438e-5 + (t * (-8.2467e-7 + (t * 5.3875e-9)))))));
        var root = -5.72466e-3 + (t * (1.0227e-4 + (t * -1.6546e-6)));
        return pure + (s * (linear + (Math.Sqrt(s) * root) + (s * 4.8314e-4)));
    }

    /// <summary>
    /// Specific gravity: the density of a sample over that of pure water, each at its own temperature. Hydrometers are made for different
    /// references, 25/25, 20/20, 25/15.56 (60 °F), 25/4 °C; taking one for another moves sea water's reading by up to 0.003, which is 4 in salinity.
    /// </summary>
    /// <param name="salinity">Practical salinity, 0 to 42.</param>
    /// <param name="sampleCelsius">The sample, -2 to 40 °C.</param>
    /// <param name="referenceCelsius">The pure water of the reference, 0 to 40 °C; always to be stated beside the figure.</param>
    public static double SpecificGravity(double salinity, double sampleCelsius, double referenceCelsius)
        => KilogramsPerCubicMetre(salinity, sampleCelsius) / KilogramsPerCubicMetre(0, Bounds.Check(referenceCelsius, 0, MaxCelsius, "°C"));
}
