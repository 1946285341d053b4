using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Flow by gravity through a straight round tube of pure water. The law of Hagen and Poiseuille holds only where <see cref="IsLaminar"/> and where the tube is
/// much longer than <see cref="EntryMillimetres"/>; an open airline of 4 to 6 mm is never laminar, there the valve or the knot sets the rate.
/// </summary>
/// <param name="MillilitresPerMinute">What the law gives, whether it holds or not.</param>
/// <param name="Reynolds">Reynolds number at that flow.</param>
/// <param name="EntryMillimetres">Length that the flow needs to settle, about 0.06 Re d (from memory: textbooks of fluid mechanics).</param>
public readonly record struct TubeFlow(double MillilitresPerMinute, double Reynolds, double EntryMillimetres)
{
    /// <summary>Flow in a tube may become turbulent from this Reynolds number on (from memory: textbooks).</summary>
    public const double LaminarBelow = 2300;

    /// <summary>What inlet and outlet take, in velocity heads: an assumption, 0.5 to 1 for the inlet, 1 for the outlet and a bend.</summary>
    private const double LossHeads = 2.5;

    /// <summary>Contraction and friction of a sharp hole (from memory: textbooks, 0.60 to 0.62).</summary>
    private const double OrificeCoefficient = 0.61;

    private const double Gravity = 9.80665;
    private const double MillilitresPerMinuteInCubicMetrePerSecond = 6e7;

    /// <summary>Whether the flow is laminar, so that the figure holds.</summary>
    public bool IsLaminar => Reynolds < LaminarBelow;

    /// <summary>Hagen and Poiseuille, no losses: Q = pi rho g h d⁴ / (128 mu L).</summary>
    /// <param name="headMetres">Fall from surface to outlet, 0 to 10 m.</param>
    /// <param name="diameterMillimetres">Inner, 0.05 to 50 mm.</param>
    /// <param name="lengthMetres">0.01 to 100 m.</param>
    /// <param name="celsius">0 to 100 °C.</param>
    public static TubeFlow Laminar(double headMetres, double diameterMillimetres, double lengthMetres, double celsius) => WithLosses(headMetres, diameterMillimetres, lengthMetres, celsius, 0);

    /// <summary>The same with inlet and outlet: rho g h = 32 mu L v / d² + K rho v² / 2, with K = 2.5 unless told. Arguments as in <see cref="Laminar"/>.</summary>
    public static TubeFlow WithLosses(double headMetres, double diameterMillimetres, double lengthMetres, double celsius, double lossHeads = LossHeads)
    {
        var d = Bounds.Check(diameterMillimetres, 0.05, 50, "mm") / 1000;
        var (density, viscosity) = (FreshWater.KilogramsPerCubicMetre(Bounds.Check(celsius, 0, 100, "°C")), FreshWater.MillipascalSeconds(celsius) / 1000);
        var drive = density * Gravity * Bounds.Check(headMetres, 0, 10, "m");
        var drag = 32 * viscosity * Bounds.Check(lengthMetres, 0.01, 100, "m") / (d * d);
        var loss = Bounds.Check(lossHeads, 0, 100, "velocity heads") * density / 2;
        var velocity = 2 * drive / (drag + Math.Sqrt((drag * drag) + (4 * loss * drive)));
        var reynolds = density * velocity * d / viscosity;
        return new TubeFlow(Math.PI / 4 * d * d * velocity * MillilitresPerMinuteInCubicMetrePerSecond, reynolds, 0.06 * reynolds * d * 1000);
    }

    /// <summary>Flow through a short sharp hole, mL/min: Cd A sqrt(2 g h), Cd = 0.61; nearly free of temperature.</summary>
    /// <param name="diameterMillimetres">0.1 to 50 mm.</param>
    /// <param name="headMetres">0 to 10 m.</param>
    public static double OrificeMillilitresPerMinute(double diameterMillimetres, double headMetres)
    {
        var d = Bounds.Check(diameterMillimetres, 0.1, 50, "mm") / 1000;
        return OrificeCoefficient * Math.PI / 4 * d * d * Math.Sqrt(2 * Gravity * Bounds.Check(headMetres, 0, 10, "m")) * MillilitresPerMinuteInCubicMetrePerSecond;
    }
}
