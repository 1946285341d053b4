using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Water that an open surface gives to the air. The form of Carrier and ASHRAE, W = A (pw - pa)(0.089 + 0.0782 v) / Y (from memory), made for pools; Shah (HPAC 2011)
/// reports it inaccurate against measurements. Take it to a third either way, and see what the vessel's own mass or level says. A lid stops nearly all of it.
/// </summary>
public static class Evaporation
{
    private const double MinCelsius = 0;
    private const double MaxCelsius = 50;

    /// <summary>
    /// Saturated vapour, kPa: Wagner and Pruss 1993 (J. Phys. Chem. Ref. Data 22:783, equation 1; from memory), as IAPWS-95 has it to 0.01 %.
    /// </summary>
    /// <param name="celsius">0 to 50 °C.</param>
    public static double SaturationKilopascals(double celsius)
    {
        const double CriticalKelvin = 647.096;
        const double CriticalKilopascals = 22064;
        var kelvin = Bounds.Check(celsius, MinCelsius, MaxCelsius, "°C") + 273.15;
        var x = 1 - (kelvin / CriticalKelvin);
        var sum = (-7.85951783 * x) + (1.84408259 * Math.Pow(x, 1.5)) + (-11.7866497 * Math.Pow(x, 3))
            + (22.6807411 * Math.Pow(x, 3.5)) + (-15.9618719 * Math.Pow(x, 4)) + (1.80122502 * Math.Pow(x, 7.5));
        return CriticalKilopascals * Math.Exp(CriticalKelvin / kelvin * sum);
    }

    /// <summary>Latent heat, kJ/kg: 2441.7 at 25 °C (IAPWS-95), 2.37 less for each degree (from memory; within 0.1 % from 0 to 50 °C).</summary>
    /// <param name="celsius">0 to 50 °C.</param>
    public static double LatentKilojoulesPerKilogram(double celsius) => 2441.7 - (2.37 * (Bounds.Check(celsius, MinCelsius, MaxCelsius, "°C") - 25));

    /// <summary>Heat that goes with the vapour, W; negative when the room's air is so moist that water condenses.</summary>
    /// <param name="areaSquareMetres">Open surface, above 0 to 100 m².</param>
    /// <param name="waterCelsius">0 to 50 °C.</param>
    /// <param name="roomCelsius">0 to 50 °C.</param>
    /// <param name="relativeHumidity">0 to 1.</param>
    /// <param name="airMetresPerSecond">Draught over the surface, 0 to 5 m/s; a still room 0.</param>
    public static double Watts(double areaSquareMetres, double waterCelsius, double roomCelsius, double relativeHumidity, double airMetresPerSecond)
        => 1000 * Bounds.Check(areaSquareMetres, double.Epsilon, 100, "m²") * Deficit(waterCelsius, roomCelsius, relativeHumidity)
            * (0.089 + (0.0782 * Bounds.Check(airMetresPerSecond, 0, 5, "m/s")));

    /// <summary>Water lost, g/h; 1 g is 1 mL. Arguments as in <see cref="Watts"/>.</summary>
    public static double GramsPerHour(double areaSquareMetres, double waterCelsius, double roomCelsius, double relativeHumidity, double airMetresPerSecond)
        => 3600 * Watts(areaSquareMetres, waterCelsius, roomCelsius, relativeHumidity, airMetresPerSecond) / LatentKilojoulesPerKilogram(waterCelsius);

    /// <summary>The same by the short pool form of ASHRAE, 4e-5 A (pw - pa) kg/s (from memory): a second opinion, a tenth above the first in still air.</summary>
    /// <param name="areaSquareMetres">Open surface, above 0 to 100 m².</param>
    /// <param name="waterCelsius">0 to 50 °C.</param>
    /// <param name="roomCelsius">0 to 50 °C.</param>
    /// <param name="relativeHumidity">0 to 1.</param>
    public static double PoolGramsPerHour(double areaSquareMetres, double waterCelsius, double roomCelsius, double relativeHumidity)
        => 3.6e6 * 4e-5 * Bounds.Check(areaSquareMetres, double.Epsilon, 100, "m²") * Deficit(waterCelsius, roomCelsius, relativeHumidity);

    private static double Deficit(double waterCelsius, double roomCelsius, double relativeHumidity)
        => SaturationKilopascals(waterCelsius) - (Bounds.Check(relativeHumidity, 0, 1, "(a share)") * SaturationKilopascals(roomCelsius));
}
