namespace Evenwater.Running;

/// <summary>How long the program was away, as far as the clocks tell.</summary>
internal static class Cut
{
    /// <summary>
    /// A computer without a clock of its own goes on from a time that it kept before the power went, until a time server sets it (systemd-timesyncd.service(8)). So long after it came up
    /// a clock that is not synchronised may be such a one, s. Our own choice: where there is a time server it answers within a minute or two.
    /// </summary>
    private const double JustUpSeconds = 300;

    /// <summary>A time server may have set the clock back by a little since, s: that is no power cut. Our own choice.</summary>
    private const double SetBackSeconds = 5;

    private static readonly TimeSpan Longest = TimeSpan.FromDays(30);

    /// <summary>How long, s; null when that can not be told.</summary>
    /// <param name="last">The newest time that the log knows.</param>
    /// <param name="now">What the clock says.</param>
    /// <param name="upSeconds">How long the computer has been up, where its clock is not synchronised; null where it is.</param>
    public static double? Seconds(DateTimeOffset? last, DateTimeOffset now, double? upSeconds) =>
        last is not { } known || now.AddSeconds(SetBackSeconds) < known || (upSeconds is { } up and < JustUpSeconds && now.AddSeconds(-up) <= known)
            ? null
            : Math.Clamp((now - known).TotalSeconds, 1, Longest.TotalSeconds);

    /// <summary>What is taken for it: what the clock says, and at least a second.</summary>
    public static double AtLeast(DateTimeOffset? last, DateTimeOffset now) => last is { } known ? Math.Clamp((now - known).TotalSeconds, 1, Longest.TotalSeconds) : 1;
}
