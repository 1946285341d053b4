namespace Evenwater.Core.Telling;

/// <summary>Moments in words: clock times when the clock is known, else spans.</summary>
internal readonly record struct Moments(DateTimeOffset? Now)
{
    /// <summary>A moment to come, <paramref name="seconds"/> from now.</summary>
    public string At(double seconds) => seconds > TimeWords.LongestSeconds ? "more than 24 h from now"
        : Now is { } now ? TimeWords.Clock(now, seconds)
        : $"{TimeWords.Span(seconds)} from now";

    /// <summary>The same, as the middle of a range.</summary>
    public string About(double seconds) => seconds > TimeWords.LongestSeconds || Now is null ? At(seconds) : $"at about {At(seconds)}";

    /// <summary>A moment that has been, <paramref name="seconds"/> ago, 0 or more.</summary>
    public string Ago(double seconds) => Now is { } now ? $"at {now.AddSeconds(-seconds):HH':'mm}" : $"{TimeWords.Span(seconds)} ago";

    /// <summary>What has gone on for <paramref name="seconds"/>.</summary>
    public string Since(double seconds) => Now is { } now ? $"since {now.AddSeconds(-seconds):HH':'mm}" : $"for {TimeWords.Span(seconds)}";

    /// <summary>The range of a moment to come.</summary>
    public string Range(in Estimation.Quantiles q) => $"{About(q.P50)} (between {At(q.P05)} and {At(q.P95)})";
}
