namespace Evenwater.Core.Mixing;

/// <summary>
/// Filling in stages: up to a full volume, then down again by hand to the start volume. Each full stage divides the difference by
/// full / start; the last one is filled only as far as needed.
/// </summary>
/// <param name="DrawOffs">How often the vessel is drawn down.</param>
/// <param name="InflowLitres">Water that comes in over all stages, L.</param>
/// <param name="EndLitres">Volume at the match, L.</param>
public readonly record struct Staged(int DrawOffs, double InflowLitres, double EndLitres)
{
    /// <summary>More stages than this mean that the vessel is hardly larger than its first water.</summary>
    private const int MostDrawOffs = 1000;

    /// <summary>The stages that bring <paramref name="difference"/> down to <paramref name="tolerance"/>; null when the vessel has no room to speak of.</summary>
    public static Staged? Plan(double startLitres, double fullLitres, double difference, double tolerance)
    {
        if (!(fullLitres > startLitres)) return null;
        var ratio = Math.Max(Math.Abs(difference) / tolerance, 1);
        var perStage = fullLitres / startLitres;
        // The small number keeps an exact fit from being counted as one stage more.
        var drawOffs = Math.Max(0, (int)Math.Min(Math.Ceiling((Math.Log(ratio) / Math.Log(perStage)) - 1e-12) - 1, int.MaxValue));
        if (drawOffs > MostDrawOffs) return null;
        var end = startLitres * ratio / Math.Pow(perStage, drawOffs);
        return new Staged(drawOffs, (drawOffs * (fullLitres - startLitres)) + end - startLitres, end);
    }

    /// <summary>Concentration after <paramref name="stages"/> full stages.</summary>
    public static double ConcentrationAfter(int stages, double startLitres, double fullLitres, double start, double inflow)
        => inflow + ((start - inflow) * Math.Pow(startLitres / fullLitres, stages));
}
