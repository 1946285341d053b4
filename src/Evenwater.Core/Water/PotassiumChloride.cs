using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Conductivity of potassium chloride solutions by mass, 0 to 35 °C on ITS-90: the CRC Handbook's table of standard solutions, citing the values of NIST and
/// IUPAC (Pure Appl. Chem. 73:1783, 2001), uncertainty 0.03 to 0.04 %. What the air's carbon dioxide adds was subtracted there and stands in a row of its own.
/// Between the printed temperatures a cubic runs through the four nearest of them, two on each side; with any inner point of the table left out
/// it is met again within 0.003 % (0.01 and 0.1 mol/kg) and 0.011 % (1 mol/kg), at twice the spacing that is used.
/// </summary>
public static class PotassiumChloride
{
    /// <summary>Lowest temperature of the table, °C.</summary>
    public const double MinCelsius = 0;

    /// <summary>Highest temperature of the table, °C.</summary>
    public const double MaxCelsius = 35;

    private static readonly double[] Celsius = [0, 5, 10, 15, 18, 20, 25, 30, 35];
    private static readonly double[] Hundredth = [772.92, 890.96, 1013.95, 1141.45, 1219.93, 1273.03, 1408.23, 1546.63, 1687.79];
    private static readonly double[] Tenth = [7116.85, 8183.70, 9291.72, 10437.1, 11140.6, 11615.9, 12824.6, 14059.2, 15316.0];
    private static readonly double[] CarbonDioxide = [0.58, 0.68, 0.79, 0.89, 0.95, 0.99, 1.10, 1.20, 1.30];

    // The table has no value at 18 °C here.
    private static readonly double[] WholeCelsius = [0, 5, 10, 15, 20, 25, 30, 35];
    private static readonly double[] Whole = [63488, 72030, 80844, 89900, 99170, 108620, 118240, 127970];

    /// <summary>Whether the table covers the temperature: 0 to 35 °C.</summary>
    public static bool IsInRange(double celsius) => celsius is >= MinCelsius and <= MaxCelsius;

    /// <summary>Conductivity of the salt alone, µS/cm.</summary>
    /// <param name="molesPerKilogram">0.01, 0.1 or 1 mol of KCl per kg of water; nothing between.</param>
    /// <param name="celsius">0 to 35 °C; another is refused.</param>
    public static double MicrosiemensPerCm(double molesPerKilogram, double celsius) => molesPerKilogram switch
    {
        0.01 => Cubic(Celsius, Hundredth, Checked(celsius)),
        0.1 => Cubic(Celsius, Tenth, Checked(celsius)),
        1 => Cubic(WholeCelsius, Whole, Checked(celsius)),
        _ => throw new ArgumentOutOfRangeException(nameof(molesPerKilogram), molesPerKilogram, "Allowed: 0.01, 0.1 or 1 mol/kg."),
    };

    /// <summary>What water that has stood in air conducts by its carbon dioxide, µS/cm, 0 to 35 °C; along straight lines, the row has two figures only.</summary>
    public static double CarbonDioxideMicrosiemensPerCm(double celsius)
    {
        var right = Right(Celsius, Checked(celsius));
        var share = (celsius - Celsius[right - 1]) / (Celsius[right] - Celsius[right - 1]);
        return CarbonDioxide[right - 1] + (share * (CarbonDioxide[right] - CarbonDioxide[right - 1]));
    }

    private static double Checked(double celsius) => Bounds.Check(celsius, MinCelsius, MaxCelsius, "°C");

    /// <summary>Index of the first of the table's temperatures above, at least 1.</summary>
    private static int Right(double[] celsius, double at)
    {
        var right = 1;
        while (right < celsius.Length - 1 && celsius[right] <= at) right++;
        return right;
    }

    private static double Cubic(double[] celsius, double[] values, double at)
    {
        var first = Math.Clamp(Right(celsius, at) - 2, 0, celsius.Length - 4);
        var sum = 0.0;
        for (var i = first; i < first + 4; i++)
        {
            var term = values[i];
            for (var j = first; j < first + 4; j++)
            {
                if (j != i) term *= (at - celsius[j]) / (celsius[i] - celsius[j]);
            }

            sum += term;
        }

        return sum;
    }
}
