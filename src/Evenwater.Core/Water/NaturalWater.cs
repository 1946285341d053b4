namespace Evenwater.Core.Water;

/// <summary>
/// Natural fresh water between any temperature and 25 °C by the viscosity function of ISO 7888 (EN 27888).
/// Recommended there for natural waters of 60 to 1000 µS/cm; sea water and pure salt solutions follow other laws.
/// </summary>
public static class NaturalWater
{
    /// <summary>Lower end of the published factor table, °C.</summary>
    public const double MinCelsius = 0;

    /// <summary>Upper end of the published factor table, °C.</summary>
    public const double MaxCelsius = 35.9;

    /// <summary>Below this the formula is held: water is ice, and the viscosity form was never fitted there.</summary>
    private const double LowestCelsius = -5;

    /// <summary>Above this the formula is held; up to here the viscosity form stays within 0.5 % of the IAPWS 2008 release.</summary>
    private const double HighestCelsius = 60;

    // ISO 7888, annex: f = (1 - a) + a (viscosity / viscosity at 20 °C)^n.
    private const double A = 0.962144;
    private const double N = 0.965078;

    // ISO 7888, annex: relative viscosity = p + exp(q + r / (t + s)), t in °C.
    private const double P = -0.198058;
    private const double Q = -1.992186;
    private const double R = 231.17628;
    private const double S = 86.39123;

    /// <summary>The standard prints this divisor as 1/1.116; kept unrounded, the formula gives every figure of its table.</summary>
    private static readonly double At25 = RelativeTo20(25);

    /// <summary>Whether the published table covers <paramref name="celsius"/>: 0 to 35.9 °C.</summary>
    public static bool IsInRange(double celsius) => celsius is >= MinCelsius and <= MaxCelsius;

    /// <summary>
    /// The factor f25 that carries a conductivity measured at <paramref name="celsius"/> to 25 °C; 1 at 25 °C, 1.918 at 0 °C.
    /// Outside the table (see <see cref="IsInRange"/>) the same formula goes on, held below -5 and above 60 °C.
    /// </summary>
    public static double FactorTo25(double celsius)
        => RelativeTo20(Math.Clamp(celsius, LowestCelsius, HighestCelsius)) / At25;

    /// <summary>Conductivity at 25 °C, µS/cm, of water that measures <paramref name="kappaMicrosiemensPerCm"/> at <paramref name="celsius"/>.</summary>
    public static double To25(double kappaMicrosiemensPerCm, double celsius) => kappaMicrosiemensPerCm * FactorTo25(celsius);

    /// <summary>What water of <paramref name="at25MicrosiemensPerCm"/> at 25 °C measures at <paramref name="celsius"/>, µS/cm: the inverse of <see cref="To25"/>.</summary>
    public static double From25(double at25MicrosiemensPerCm, double celsius) => at25MicrosiemensPerCm / FactorTo25(celsius);

    private static double RelativeTo20(double celsius)
        => 1 - A + (A * Math.Pow(P + Math.Exp(Q + (R / (celsius + S))), N));
}
