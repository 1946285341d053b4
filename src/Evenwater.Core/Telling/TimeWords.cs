using Evenwater.Core.Estimation;

namespace Evenwater.Core.Telling;

/// <summary>
/// Spans and instants in the precision they deserve: to the minute within an hour, to five minutes within a day,
/// and no number at all beyond. Never negative, never "infinity".
/// </summary>
public static class TimeWords
{
    private const double Hour = 3600;

    /// <summary>The longest span that is told as a number, s.</summary>
    public const double LongestSeconds = 24 * Hour;

    /// <summary>In place of a time whose range is too wide to be an answer.</summary>
    public const string NoTelling = "can't tell when";

    /// <summary>A span still to come, such as "2 h 10 min".</summary>
    /// <param name="seconds">From 0; less counts as 0, not a number or beyond a day as "more than 24 h".</param>
    public static string Span(double seconds)
    {
        if (!(seconds <= LongestSeconds)) return "more than 24 h";
        if (seconds < 60) return "less than a minute";
        var minutes = (int)(Rounded(seconds) / 60);
        return (minutes / 60, minutes % 60) switch
        {
            (0, var m) => $"{m} min",
            (var h, 0) => $"{h} h",
            var (h, m) => $"{h} h {m} min",
        };
    }

    /// <summary>A span that is there at least, of one that is told as a number: never told longer than it is, but for its last minute.</summary>
    /// <param name="seconds">From 0 to <see cref="LongestSeconds"/>.</param>
    internal static string Least(double seconds) => seconds < 60 ? "a minute" : Span(Math.Floor(seconds / StepSeconds(seconds)) * StepSeconds(seconds));

    /// <summary>How long ago, exactly enough: "4 s", "7 min", "3 h".</summary>
    /// <param name="seconds">From 0; less counts as 0.</param>
    public static string Age(double seconds) => seconds switch
    {
        >= 48 * Hour => "more than 2 days",
        >= 2 * Hour => $"{(int)(seconds / Hour)} h",
        >= 120 => $"{(int)(seconds / 60)} min",
        >= 0 => $"{(int)seconds} s",
        < 0 => "0 s",
        _ => "unknown",
    };

    /// <summary>The clock time <paramref name="seconds"/> after <paramref name="now"/>, such as "02:40"; "beyond a day" when it is that far.</summary>
    /// <param name="now">Local wall time.</param>
    /// <param name="seconds">From 0; less counts as 0.</param>
    /// <param name="zone">What clocks show here when they are changed until then; null: they stay as they are now.</param>
    public static string Clock(DateTimeOffset now, double seconds, TimeZoneInfo? zone = null)
    {
        if (!(seconds <= LongestSeconds)) return "beyond a day";
        var step = StepSeconds(seconds);
        var ticks = TimeSpan.FromSeconds(step).Ticks;
        var at = Local(now.AddSeconds(Math.Max(seconds, 0)), zone);
        var rounded = new DateTimeOffset((at.Ticks + (ticks / 2)) / ticks * ticks, at.Offset);
        return $"{rounded:HH':'mm}";
    }

    /// <summary>The clock time of a deadline, to the minute and never later than it is.</summary>
    /// <inheritdoc cref="Clock"/>
    public static string Deadline(DateTimeOffset now, double seconds, TimeZoneInfo? zone = null) => $"{Local(now.AddSeconds(Math.Max(seconds, 0)), zone):HH':'mm}";

    internal static DateTimeOffset Local(DateTimeOffset at, TimeZoneInfo? zone) => zone is null ? at : TimeZoneInfo.ConvertTime(at, zone);

    /// <summary>
    /// When something is expected: "now", "at about 02:40 (between 01:55 and 03:50)", "not within 24 h",
    /// or "can't tell when" for a range too wide to be an answer.
    /// </summary>
    public static string When(DateTimeOffset now, in Quantiles seconds, TimeZoneInfo? zone = null)
    {
        if (seconds.P50 <= 0) return "now";
        if (seconds.CannotTell || double.IsNaN(seconds.P50)) return NoTelling;
        return seconds.P50 > LongestSeconds
            ? seconds.P05 > LongestSeconds ? "not within 24 h" : $"at {Clock(now, seconds.P05, zone)} at the earliest"
            : $"at about {Clock(now, seconds.P50, zone)} (between {Clock(now, seconds.P05, zone)} and {Late(now, seconds.P95, zone)})";
    }

    private static string Late(DateTimeOffset now, double seconds, TimeZoneInfo? zone) => seconds <= LongestSeconds ? Clock(now, seconds, zone) : "tomorrow or later";

    private static double Rounded(double seconds)
    {
        var step = StepSeconds(seconds);
        return Math.Floor((seconds / step) + 0.5) * step;
    }

    private static double StepSeconds(double seconds) => seconds > Hour ? 300 : 60;
}
