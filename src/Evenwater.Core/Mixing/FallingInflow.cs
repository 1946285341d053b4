namespace Evenwater.Core.Mixing;

/// <summary>
/// An inflow that dies away, q = q0 e^(-k t), as it does through a viscous restriction under a head that the vessel's own
/// filling takes away (Hagen-Poiseuille: dQ/dt falls in proportion to the head). A fill's answer in volume stays as it is; only the time changes.
/// </summary>
/// <param name="FirstLitresPerHour">q0, L/h.</param>
/// <param name="DecayPerHour">k, 1/h; 0 for a steady flow.</param>
public readonly record struct FallingInflow(double FirstLitresPerHour, double DecayPerHour)
{
    /// <summary>Flow after <paramref name="hours"/>, L/h.</summary>
    public double LitresPerHourAfter(double hours) => FirstLitresPerHour * Math.Exp(-DecayPerHour * hours);

    /// <summary>Delivered within <paramref name="hours"/>, L: the integral of the flow.</summary>
    public double LitresWithin(double hours)
        => DecayPerHour == 0 ? FirstLitresPerHour * hours : FirstLitresPerHour * (1 - Math.Exp(-DecayPerHour * hours)) / DecayPerHour;

    /// <summary>Hours until <paramref name="litres"/> are delivered; infinite when they never are.</summary>
    public double HoursTo(double litres)
    {
        if (DecayPerHour == 0) return litres / FirstLitresPerHour;
        var left = 1 - (DecayPerHour * litres / FirstLitresPerHour);
        return left > 0 ? -Math.Log(left) / DecayPerHour : double.PositiveInfinity;
    }
}
