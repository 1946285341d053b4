namespace Evenwater.Core.Water;

/// <summary>
/// The straight-line way to 25 °C: kappa25 = kappa / (1 + alpha (t - 25)). Good near 25 °C only: with any one coefficient it leaves the
/// natural-water function by up to 2 % between 10 and 30 °C, and by up to 5 % at 5 °C.
/// </summary>
public static class LinearCompensation
{
    /// <summary>Below this share of its 25 °C value the line has lost all meaning; it is held here.</summary>
    private const double LeastShare = 0.05;

    /// <summary>Factor to 25 °C; <paramref name="alphaPerKelvin"/> is usually 0.018 to 0.022 1/K.</summary>
    public static double FactorTo25(double celsius, double alphaPerKelvin)
        => 1 / Math.Max(1 + (alphaPerKelvin * (celsius - 25)), LeastShare);

    /// <summary>Conductivity at 25 °C, µS/cm.</summary>
    public static double To25(double kappaMicrosiemensPerCm, double celsius, double alphaPerKelvin)
        => kappaMicrosiemensPerCm * FactorTo25(celsius, alphaPerKelvin);

    /// <summary>What water measures at <paramref name="celsius"/>, µS/cm: the inverse of <see cref="To25"/>.</summary>
    public static double From25(double at25MicrosiemensPerCm, double celsius, double alphaPerKelvin)
        => at25MicrosiemensPerCm / FactorTo25(celsius, alphaPerKelvin);
}
