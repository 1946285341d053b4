namespace Evenwater.Core.Telling;

/// <summary>Moments in words: clock times when the clock is known, else spans.</summary>
/// <param name="Now">Local wall time, or null when the clock is not known.</param>
/// <param name="Zone">What clocks show here when they are changed; null: they stay as they are now.</param>
/// <param name="SecondsAgo">Moments to come are counted from so long ago, s.</param>
internal readonly record struct Moments(DateTimeOffset? Now, TimeZoneInfo? Zone = null, double SecondsAgo = 0)
{
    /// <summary>The moments to come of a forecast, which count from when it was made: from now each would be told later with every word that is said until the next one.</summary>
    public Moments Of(StationState state) => this with { SecondsAgo = state.LastStepAt.SecondsSince(state.Forecast.At) };

    /// <summary>A moment to come, <paramref name="seconds"/> from then.</summary>
    public string At(double seconds) => seconds > TimeWords.LongestSeconds ? "more than 24 h from now"
        : Now is { } now ? TimeWords.Clock(now.AddSeconds(-SecondsAgo), seconds, Zone)
        : $"{TimeWords.Span(Math.Max(0, seconds - SecondsAgo))} from now";

    /// <summary>A deadline, within a day: "by 02:40" or "within 2 h", and never told later than it is.</summary>
    public string By(double seconds) => Now is { } now ? $"by {TimeWords.Deadline(now, seconds, Zone)}" : $"within {TimeWords.Least(seconds)}";

    /// <summary>A moment, as the middle of a range.</summary>
    public string About(double seconds) => seconds > TimeWords.LongestSeconds || Now is null ? At(seconds) : $"at about {At(seconds)}";

    /// <summary>A moment that has been, <paramref name="seconds"/> ago, 0 or more.</summary>
    public string Ago(double seconds) => Now is { } now ? $"at {Before(now, seconds):HH':'mm}" : $"{TimeWords.Span(seconds)} ago";

    /// <summary>What has gone on for <paramref name="seconds"/>.</summary>
    public string Since(double seconds) => Now is { } now ? $"since {Before(now, seconds):HH':'mm}" : $"for {TimeWords.Span(seconds)}";

    private DateTimeOffset Before(DateTimeOffset now, double seconds) => TimeWords.Local(now.AddSeconds(-seconds), Zone);

    /// <summary>The range of a moment to come.</summary>
    public string Range(in Estimation.Quantiles q) => $"{About(q.P50)} (between {At(q.P05)} and {At(q.P95)})";
}
