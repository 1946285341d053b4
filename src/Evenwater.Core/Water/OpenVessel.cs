using Evenwater.Core.Mixing;
using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>An open vessel left alone: how fast it follows the room, and how far below it it settles. The exchange itself is in <see cref="HeatExchange"/>.</summary>
public static class OpenVessel
{
    /// <summary>Deeper below the room than any surface can cool, K.</summary>
    private const double MostKelvinBelow = 30;

    /// <summary>Time constant, h: after so long 63 % of a difference is gone.</summary>
    /// <param name="litres">Above 0 to 1 000 000 L.</param>
    /// <param name="wattsPerKelvin">UA, 0.01 to 10 000 W/K: 2.5 to 2.9 for a dry bucket of 15 L, 3.5 to 3.9 with evaporation (assumed coefficients, no measured source).</param>
    public static double TimeConstantHours(double litres, double wattsPerKelvin)
        => Bounds.Check(litres, double.Epsilon, Volume.MaxLitres, "L") * HeatExchange.WattHoursPerLitreKelvin / Bounds.Check(wattsPerKelvin, 0.01, 10_000, "W/K");

    /// <summary>The temperature where what the room gives is what evaporation takes, °C; held at 0.</summary>
    /// <param name="areaSquareMetres">Open surface, above 0 to 100 m².</param>
    /// <param name="dryWattsPerKelvin">UA without evaporation, 0.01 to 10 000 W/K.</param>
    /// <param name="roomCelsius">0 to 50 °C.</param>
    /// <param name="relativeHumidity">0 to 1.</param>
    /// <param name="airMetresPerSecond">0 to 5 m/s.</param>
    public static double SettlesCelsius(double areaSquareMetres, double dryWattsPerKelvin, double roomCelsius, double relativeHumidity, double airMetresPerSecond)
    {
        var exchange = Bounds.Check(dryWattsPerKelvin, 0.01, 10_000, "W/K");
        return Bisection.Rising(
            celsius => (exchange * (celsius - roomCelsius)) + Evaporation.Watts(areaSquareMetres, celsius, roomCelsius, relativeHumidity, airMetresPerSecond),
            0, Math.Max(0, roomCelsius - MostKelvinBelow), roomCelsius);
    }
}
