using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Practical salinity (PSS-78) at the surface, from conductivity and back: UNESCO Technical Papers in Marine Science 44 (1983), equation 31, with
/// C(35, 15, 0) = 42.914 mS/cm. Published for 2 to 42 and -2 to 35 °C. Below 2 Hill, Dauphinee and Woods (1986, IEEE J. Oceanic Eng. OE-11:109) carry it
/// to fresh water, scaled so that it meets 2 without a step and held at 0, as gsw does. For diluted sea water and salt mixes made like it; fresh water of a tap or a
/// pond is another mix of ions, whose "salinity" by this scale means little.
/// </summary>
public static class PracticalSalinity
{
    /// <summary>Highest salinity of the scale.</summary>
    public const double Max = 42;

    /// <summary>Lowest temperature of the scale, °C.</summary>
    public const double MinCelsius = -2;

    /// <summary>Highest temperature of the scale, °C.</summary>
    public const double MaxCelsius = 35;

    /// <summary>Where the scale itself begins; below it Hill's extension stands.</summary>
    private const double LeastOfScale = 2;

    private const double StandardMillisiemensPerCm = 42.914;

    /// <summary>More than any water of the scale conducts; 42 at 35 °C has 74.86 mS/cm.</summary>
    private const double MostMillisiemensPerCm = 80;

    /// <summary>So that the conductivity of 42 is not refused for its last digit.</summary>
    private const double Rounding = 1e-9;

    private static readonly double[] A = [0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081];
    private static readonly double[] B = [0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144];
    private static readonly double[] C = [0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9];

    /// <summary>Whether the scale covers a temperature: -2 to 35 °C.</summary>
    public static bool IsTemperatureInRange(double celsius) => celsius is >= MinCelsius and <= MaxCelsius;

    /// <summary>Whether a reading lies on the scale: -2 to 35 °C, and no saltier than 42.</summary>
    public static bool IsInRange(double millisiemensPerCm, double celsius)
        => IsTemperatureInRange(celsius) && millisiemensPerCm is >= 0 and <= MostMillisiemensPerCm && Raw(millisiemensPerCm, celsius) <= Max + Rounding;

    /// <summary>Practical salinity, without a unit, 0 to 42.</summary>
    /// <param name="millisiemensPerCm">Conductivity at the water's own temperature, mS/cm; not referred to 25 °C.</param>
    /// <param name="celsius">-2 to 35 °C. A reading off the scale (see <see cref="IsInRange"/>) is refused.</param>
    public static double Of(double millisiemensPerCm, double celsius)
    {
        Bounds.Check(celsius, MinCelsius, MaxCelsius, "°C");
        Bounds.Check(millisiemensPerCm, 0, MostMillisiemensPerCm, "mS/cm");
        var salinity = Raw(millisiemensPerCm, celsius);
        return salinity <= Max + Rounding ? Math.Clamp(salinity, 0, Max)
            : throw new ArgumentOutOfRangeException(nameof(millisiemensPerCm), millisiemensPerCm, $"Practical salinity {salinity:0.0} is above {Max}, where the scale ends.");
    }

    /// <summary>Conductivity at the water's own temperature, mS/cm: the inverse of <see cref="Of"/>, to 1e-9.</summary>
    /// <param name="salinity">0 to 42.</param>
    /// <param name="celsius">-2 to 35 °C.</param>
    public static double MillisiemensPerCm(double salinity, double celsius)
    {
        Bounds.Check(salinity, 0, Max, "(practical salinity)");
        Bounds.Check(celsius, MinCelsius, MaxCelsius, "°C");
        return Bisection.Rising(conductivity => Raw(conductivity, celsius), salinity, 0, MostMillisiemensPerCm);
    }

    private static double Raw(double millisiemensPerCm, double celsius)
    {
        var t68 = TemperatureScale.To1968(celsius);
        var ratio = millisiemensPerCm / StandardMillisiemensPerCm / Horner(C, t68);
        var salinity = Scale(ratio, t68);
        return salinity >= LeastOfScale ? salinity : Hill(ratio, t68) * LeastOfScale / Hill(RatioAtTwo(t68), t68);
    }

    private static double Scale(double ratio, double t68)
    {
        var root = Math.Sqrt(ratio);
        return Horner(A, root) + (Warmth(t68) * Horner(B, root));
    }

    /// <summary>Hill and others 1986, equation 1: their two corrections, which vanish in salt water and take 0.008 away where nothing is dissolved.</summary>
    private static double Hill(double ratio, double t68)
    {
        var x = 400 * ratio;
        var root = 10 * Math.Sqrt(ratio);
        return Scale(ratio, t68) - (A[0] / (1 + (x * (1.5 + x)))) - (B[0] * Warmth(t68) / (1 + (root * (1 + (root * (1 + root))))));
    }

    private static double RatioAtTwo(double t68) => Bisection.Rising(ratio => Scale(ratio, t68), LeastOfScale, 0, 1);

    private static double Warmth(double t68) => (t68 - 15) / (1 + (0.0162 * (t68 - 15)));

    private static double Horner(double[] coefficients, double x)
    {
        var sum = 0.0;
        for (var i = coefficients.Length - 1; i >= 0; i--) sum = (sum * x) + coefficients[i];
        return sum;
    }
}
