namespace Evenwater.Core.Charting;

/// <summary>What a channel was over a stretch of time, in its unit.</summary>
/// <param name="Count">How many readings, 1 or more.</param>
/// <param name="Min">The lowest.</param>
/// <param name="Mean">Their mean.</param>
/// <param name="Max">The highest.</param>
/// <param name="Last">The last.</param>
public readonly record struct Bin(long Count, double Min, double Mean, double Max, double Last)
{
    /// <summary>Of one reading.</summary>
    public static Bin Of(double value) => new(1, value, value, value, value);

    /// <summary>Both together, this one first: no lowest and no highest is lost, and the mean is that of all their readings.</summary>
    public Bin And(in Bin later) => new(
        Count + later.Count, Math.Min(Min, later.Min), Mean + ((later.Mean - Mean) * later.Count / (Count + later.Count)), Math.Max(Max, later.Max), later.Last);
}
