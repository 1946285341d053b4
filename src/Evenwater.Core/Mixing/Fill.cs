namespace Evenwater.Core.Mixing;

/// <summary>A vessel that only fills: C - Ct = (C0 - Ct) V0 / V, whatever the flow does.</summary>
public static class Fill
{
    /// <summary>
    /// Volume at which the difference has shrunk to <paramref name="tolerance"/>, L: V0 |C0 - Ct| / tolerance.
    /// It depends on no flow, so it says at once whether the vessel is large enough.
    /// </summary>
    public static double LitresToMatch(double startLitres, double difference, double tolerance)
        => startLitres * Math.Max(Math.Abs(difference) / tolerance, 1);

    /// <summary>Concentration when the vessel holds <paramref name="litres"/>.</summary>
    public static double ConcentrationAt(double startLitres, double start, double inflow, double litres)
        => inflow + ((start - inflow) * startLitres / litres);
}
