namespace Evenwater.Core.Review.Comparing;

/// <summary>What a comparison says.</summary>
public enum Verdict
{
    /// <summary>The spans have too little for it.</summary>
    TooLittle,

    /// <summary>The interval leaves open what matters.</summary>
    CanNotTell,

    /// <summary>As before, within what matters.</summary>
    AsBefore,

    /// <summary>It did change, by less than matters.</summary>
    LessThanMatters,

    /// <summary>Lower than before.</summary>
    Lower,

    /// <summary>Higher than before.</summary>
    Higher,

    /// <summary>It was on its way there before.</summary>
    OnItsWay,

    /// <summary>Days on which nothing was done show as large a difference too often.</summary>
    AsOnOtherDays,
}

/// <summary>How often a difference as large came on days when nothing was done.</summary>
/// <param name="Days">Days that were looked at.</param>
/// <param name="AsLarge">Of them, with a difference at least as large, up or down.</param>
/// <param name="Apart">How many of them lie so far apart that none shares a reading with another.</param>
public readonly record struct OtherDays(int Days, int AsLarge, int Apart)
{
    /// <summary>Fewer days are no measure of what is usual. Common practice, no source.</summary>
    public const int Least = 10;

    /// <summary>Whether there are enough.</summary>
    public bool Tells => Days >= Least;

    /// <summary>Whether it comes too often to be anything's doing: more than one in twenty. Our own choice, by simulation.</summary>
    public bool Often => Tells && 20 * AsLarge > Days;
}

/// <summary>One figure of one channel, before and after.</summary>
/// <param name="Channel">Which channel.</param>
/// <param name="Figure">Which figure.</param>
/// <param name="Before">Before; null when there was too little.</param>
/// <param name="After">After; likewise.</param>
/// <param name="Verdict">What is said of it.</param>
/// <param name="OtherDays">How the difference looks beside days when nothing was done; null where nobody looked.</param>
public sealed record Compared(Channel Channel, Figure Figure, Estimate? Before, Estimate? After, Verdict Verdict, OtherDays? OtherDays)
{
    /// <summary>After less before; null when one of the two is missing.</summary>
    public Estimate? Difference => Before is { } before && After is { } after ? Estimate.Difference(before, after) : null;

    /// <summary>Whether it stands out.</summary>
    public bool Changed => Verdict is Verdict.Lower or Verdict.Higher;

    /// <summary>Of the level: what going on as before would have made of it; null where it stood still, or was not asked.</summary>
    public Estimate? GoingOn { get; init; }
}

/// <summary>The hours of the day at which a channel changed otherwise than at the rest of the day.</summary>
/// <param name="Hour">Of the local day, 0 to 23.</param>
/// <param name="Difference">After less before, less what the middle one of all hours changed by.</param>
public readonly record struct HourChange(int Hour, Estimate Difference);

/// <summary>A channel before and after.</summary>
/// <param name="Before">The hours before.</param>
/// <param name="After">The hours after.</param>
/// <param name="Figures">Each figure.</param>
/// <param name="Hours">Hours of the day that stand out of the rest; none when the course of the day is as it was, null when it can not be told.</param>
/// <param name="TooLittle">Why nothing can be told; null when something can.</param>
public sealed record ChannelCompared(Side Before, Side After, IReadOnlyList<Compared> Figures, IReadOnlyList<HourChange>? Hours, string? TooLittle)
{
    /// <summary>Which.</summary>
    public Channel Channel => Before.Channel;

    /// <summary>A figure of it, or null.</summary>
    public Compared? this[Figure figure] => Figures.FirstOrDefault(one => one.Figure == figure);
}
