namespace Evenwater.Core.Charting;

/// <summary>One axis of time for all that is drawn on it: stretches of equal length, one after the other.</summary>
/// <param name="From">Where the first begins.</param>
/// <param name="Step">How long each is; more than none.</param>
/// <param name="Count">How many there are, 1 or more.</param>
public readonly record struct TimeAxis(DateTimeOffset From, TimeSpan Step, int Count)
{
    /// <summary>Where the last ends.</summary>
    public DateTimeOffset To => At(Count);

    /// <summary>Where a stretch begins.</summary>
    public DateTimeOffset At(int place) => From + (place * Step);

    /// <summary>The stretch that an instant lies in; null outside the axis.</summary>
    public int? PlaceOf(DateTimeOffset at)
    {
        if (at < From) return null;
        var place = (at - From).Ticks / Step.Ticks;
        return place < Count ? (int)place : null;
    }

    /// <summary>The same stretches of another time.</summary>
    public TimeAxis Moved(DateTimeOffset from) => this with { From = from };
}
