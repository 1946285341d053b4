namespace Evenwater.Core.Mixing;

/// <summary>A vessel that fills to a standpipe, then overflows through it at constant volume: C - Ct falls as e^(-inflow / Vm).</summary>
public static class Standpipe
{
    /// <summary>Water that must come in before the difference is <paramref name="tolerance"/>, L, whatever the flow does.</summary>
    public static double InflowToMatchLitres(double startLitres, double standpipeLitres, double difference, double tolerance)
    {
        var atMatch = Fill.LitresToMatch(startLitres, difference, tolerance);
        if (atMatch <= standpipeLitres) return atMatch - startLitres;
        return standpipeLitres - startLitres + (standpipeLitres * Math.Log(atMatch / standpipeLitres));
    }
}
