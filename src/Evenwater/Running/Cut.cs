using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>How long the program was away, as far as the clocks tell.</summary>
internal static class Cut
{
    /// <summary>
    /// A computer without a clock of its own goes on from a time that it kept before the power went, until a time server sets it (systemd-timesyncd.service(8)). So long after it came up
    /// a clock that is not synchronised may be such a one, s. Our own choice: where there is a time server it answers within a minute or two.
    /// </summary>
    private const double JustUpSeconds = 300;

    /// <summary>A computer that is shut down in order writes its time down when services have stopped, and this program may be the first of them, s (systemd-system.conf(5): DefaultTimeoutStopSec=90s).</summary>
    private const double StoppingSeconds = 90;

    /// <summary>A time server may have set the clock back by a little since, s: that is no power cut. Our own choice.</summary>
    private const double SetBackSeconds = 5;

    private static readonly TimeSpan Longest = TimeSpan.FromDays(30);

    /// <summary>How long, s; null when that can not be told.</summary>
    /// <param name="last">The newest time that the log knows.</param>
    /// <param name="now">What the clock says.</param>
    /// <param name="upSeconds">How long the computer has been up, where its clock is not synchronised; null where it is.</param>
    public static double? Seconds(DateTimeOffset? last, DateTimeOffset now, double? upSeconds) =>
        last is not { } known || now.AddSeconds(SetBackSeconds) < known || (upSeconds is { } up and < JustUpSeconds && now.AddSeconds(-up) <= known.AddSeconds(StoppingSeconds))
            ? null
            : Math.Clamp((now - known).TotalSeconds, 1, Longest.TotalSeconds);

    /// <summary>How much longer it was than was taken for it, s, where both ends are told by a clock that was set; else null.</summary>
    /// <param name="last">The newest time that the log knows, and how far it may be believed.</param>
    /// <param name="began">When the program began again, by what the clock says by now, and how far that may be believed.</param>
    /// <param name="takenSeconds">What was taken for it.</param>
    public static double? Longer((DateTimeOffset? Wall, ClockQuality Quality) last, (DateTimeOffset? Wall, ClockQuality Quality) began, double takenSeconds) =>
        last is (not null, ClockQuality.Synced) && began is ({ } wall, ClockQuality.Synced) ? Math.Max(0, AtLeast(last.Wall, wall) - takenSeconds) : null;

    /// <summary>What is taken for it: what the clock says, and at least a second.</summary>
    public static double AtLeast(DateTimeOffset? last, DateTimeOffset now) => last is { } known ? Math.Clamp((now - known).TotalSeconds, 1, Longest.TotalSeconds) : 1;
}
