namespace Evenwater.Log.Summaries;

/// <summary>What a channel was over a stretch of time, in its unit.</summary>
/// <param name="StartMs">Where the stretch begins, Unix milliseconds.</param>
/// <param name="Count">How many readings, 1 or more.</param>
/// <param name="Min">The lowest.</param>
/// <param name="Mean">Their mean.</param>
/// <param name="Max">The highest.</param>
/// <param name="Last">The last.</param>
internal readonly record struct Bucket(long StartMs, long Count, double Min, double Mean, double Max, double Last)
{
    /// <summary>Of one reading.</summary>
    public static Bucket Of(long startMs, double value) => new(startMs, 1, value, value, value, value);

    /// <summary>Both together, this one first.</summary>
    public Bucket And(in Bucket later) => new(
        StartMs, Count + later.Count, Math.Min(Min, later.Min), Mean + ((later.Mean - Mean) * later.Count / (Count + later.Count)), Math.Max(Max, later.Max), later.Last);

    /// <summary>One more reading.</summary>
    public Bucket And(double value) => new(StartMs, Count + 1, Math.Min(Min, value), Mean + ((value - Mean) / (Count + 1)), Math.Max(Max, value), value);
}
