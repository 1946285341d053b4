using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Oxygen in water at rest with air: Benson and Krause, as USGS Office of Water Quality Technical Memorandum 2011.03 has it (read in the source of the R
/// package rMR), 0 to 40 °C, salinity 0 to 40 (range: R package SWMPr).
/// </summary>
public static class OxygenSaturation
{
    /// <summary>Lowest temperature, °C.</summary>
    public const double MinCelsius = 0;

    /// <summary>Highest temperature, °C.</summary>
    public const double MaxCelsius = 40;

    private const double MaxSalinity = 40;

    /// <summary>Oxygen, mg/L.</summary>
    /// <param name="celsius">0 to 40 °C.</param>
    /// <param name="salinity">0 to 40.</param>
    /// <param name="atmospheres">Pressure of the air at the place, not reduced to sea level, 0.5 to 1.1 atm.</param>
    public static double MilligramsPerLitre(double celsius, double salinity = 0, double atmospheres = 1)
    {
        var t = Bounds.Check(celsius, MinCelsius, MaxCelsius, "°C");
        var s = Bounds.Check(salinity, 0, MaxSalinity, "(practical salinity)");
        var p = Bounds.Check(atmospheres, 0.5, 1.1, "atm");
        var k = t + 273.15;
        var fresh = Math.Exp(-139.34411 + ((1.575701e5 + ((-6.642308e7 + ((1.2438e10 - (8.621949e11 / k)) / k)) / k)) / k));
        var salt = Math.Exp(-s * (0.017674 + ((-10.754 + (2140.7 / k)) / k)));
        var theta = 0.000975 + (t * (-1.426e-5 + (t * 6.436e-8)));
        var vapour = Math.Exp(11.8571 + ((-3840.70 - (216961 / k)) / k));
        return fresh * salt * (p - vapour) * (1 - (theta * p)) / ((1 - vapour) * (1 - theta));
    }

    /// <summary>Salinity for the formula above, by the same memorandum.</summary>
    /// <param name="microsiemensPerCm">Conductivity at 25 °C, 0 to 59 000 µS/cm, which is salinity 40.</param>
    public static double SalinityOf(double microsiemensPerCm)
    {
        var conductivity = Bounds.Check(microsiemensPerCm, 0, 59_000, "µS/cm");
        return conductivity * (5.572e-4 + (conductivity * 2.02e-9));
    }
}
