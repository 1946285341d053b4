namespace Evenwater.Core.Standing;

/// <summary>What a channel was over a short stretch of time, such as a minute or a quarter of an hour, in the channel's unit.</summary>
/// <param name="From">Where it begins.</param>
/// <param name="Length">How long it is, more than none.</param>
/// <param name="Mean">The mean of its readings, finite.</param>
public readonly record struct Stretch(DateTimeOffset From, TimeSpan Length, double Mean)
{
    /// <summary>Where it ends.</summary>
    public DateTimeOffset To => From + Length;

    /// <summary>Its middle, which tells the hour it belongs to.</summary>
    public DateTimeOffset Middle => From + (Length / 2);
}
