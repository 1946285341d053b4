using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Thermometers of today show the scale of 1990 (ITS-90); the equations of sea water and Kell's density were fitted on that of 1968 (IPTS-68).
/// t68 = 1.00024 t90 (Saunders 1990, WOCE Newsletter 10; as gsw and python-seawater use it), to 0.5 mK between -2 and 40 °C.
/// </summary>
public static class TemperatureScale
{
    /// <summary>Lowest temperature accepted, °C.</summary>
    public const double MinCelsius = -5;

    /// <summary>Highest temperature accepted, °C.</summary>
    public const double MaxCelsius = 150;

    private const double Ratio = 1.00024;

    /// <summary>°C of 1968 of what a thermometer shows, -5 to 150 °C.</summary>
    public static double To1968(double celsius) => Ratio * Bounds.Check(celsius, MinCelsius, MaxCelsius, "°C");
}
