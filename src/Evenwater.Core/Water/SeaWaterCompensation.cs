namespace Evenwater.Core.Water;

/// <summary>
/// Sea water, diluted or not, from its own temperature to 25 °C along its own salinity (PSS-78, see <see cref="PracticalSalinity"/>). The function for natural fresh water
/// would carry sea water of 15 °C 1.6 % too high (salinity 35: 53.071 / 42.918 mS/cm = 1.237 by the scale, 1.256 in ISO 7888).
/// </summary>
public static class SeaWaterCompensation
{
    /// <summary>Whether a reading lies on the scale: -2 to 35 °C, and no saltier than 42.</summary>
    public static bool IsInRange(double kappaMicrosiemensPerCm, double celsius) => PracticalSalinity.IsInRange(kappaMicrosiemensPerCm / 1000, celsius);

    /// <summary>Conductivity at 25 °C, µS/cm.</summary>
    /// <param name="kappaMicrosiemensPerCm">At the water's own temperature; what is off the scale (<see cref="IsInRange"/>) is refused.</param>
    /// <param name="celsius">-2 to 35 °C.</param>
    public static double To25(double kappaMicrosiemensPerCm, double celsius) => At(kappaMicrosiemensPerCm, celsius, 25);

    /// <summary>What sea water measures at <paramref name="celsius"/>, µS/cm: the inverse of <see cref="To25"/>, to 1e-6.</summary>
    /// <param name="at25MicrosiemensPerCm">On the scale at 25 °C.</param>
    /// <param name="celsius">-2 to 35 °C.</param>
    public static double From25(double at25MicrosiemensPerCm, double celsius) => At(at25MicrosiemensPerCm, 25, celsius);

    private static double At(double kappaMicrosiemensPerCm, double from, double to)
        => 1000 * PracticalSalinity.MillisiemensPerCm(PracticalSalinity.Of(kappaMicrosiemensPerCm / 1000, from), to);
}
