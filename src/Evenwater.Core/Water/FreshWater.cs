using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>Density and viscosity of pure water at one atmosphere; fresh water of a tank differs by less than 0.1 %.</summary>
public static class FreshWater
{
    /// <summary>Density, kg/m³: Kell 1975 (J. Chem. Eng. Data 20:97), 0 to 150 °C, fitted on IPTS-68. Within 0.0045 of IAPWS-95 from 5 to 35 °C.</summary>
    /// <param name="celsius">0 to 150 °C.</param>
    public static double KilogramsPerCubicMetre(double celsius)
    {
        var t = TemperatureScale.To1968(Bounds.Check(celsius, 0, 150, "°C"));
        var above = 999.83952 + (t * (16.945176 + (t * (-7.9870401e-3 + (t * (-46.170461e-6 + (t * (105.56302e-9 + (t * -280.54253e-12)))))))));
        return above / (1 + (16.879850e-3 * t));
    }

    /// <summary>
    /// Viscosity, mPa s: the short form for liquid water at 0.1 MPa of IAPWS (Pátek and others 2009; also in the release R12-08), 253 to 383 K; within 0.00003 of the
    /// full release from 5 to 35 °C.
    /// </summary>
    /// <param name="celsius">-20 to 109 °C.</param>
    public static double MillipascalSeconds(double celsius)
    {
        var theta = (Bounds.Check(celsius, -20, 109, "°C") + 273.15) / 300;
        return 1e-3 * ((280.68 * Math.Pow(theta, -1.9)) + (511.45 * Math.Pow(theta, -7.7)) + (61.131 * Math.Pow(theta, -19.6)) + (0.45903 * Math.Pow(theta, -40)));
    }

    /// <summary>Kinematic viscosity, mm²/s.</summary>
    /// <param name="celsius">0 to 109 °C.</param>
    public static double SquareMillimetresPerSecond(double celsius) => 1000 * MillipascalSeconds(celsius) / KilogramsPerCubicMetre(celsius);

    /// <summary>
    /// How much faster a drip runs when its water warms, through a restriction that viscosity rules (a clamp, a fine tube): 1.124 from 20 to 25 °C. In a
    /// short hole it hardly changes (<see cref="TubeFlow.OrificeMillilitresPerMinute"/>).
    /// </summary>
    /// <param name="fromCelsius">0 to 109 °C.</param>
    /// <param name="toCelsius">0 to 109 °C.</param>
    public static double DripRatio(double fromCelsius, double toCelsius) => SquareMillimetresPerSecond(fromCelsius) / SquareMillimetresPerSecond(toCelsius);
}
