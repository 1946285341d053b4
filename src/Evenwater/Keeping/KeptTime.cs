using System.Globalization;

namespace Evenwater.Keeping;

/// <summary>Times as a keeper writes and reads them: of this place, unless an offset says otherwise.</summary>
internal static class KeptTime
{
    private static readonly string[] Placed = ["yyyy-MM-dd'T'HH:mmK", "yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd HH:mmK", "yyyy-MM-dd HH:mm:ssK"];
    private static readonly string[] Days = ["yyyy-MM-dd", "yyyy-MM-dd HH:mm", "yyyy-MM-dd HH:mm:ss", "yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd'T'HH:mm:ss"];

    /// <summary>The years that a time may be of. No clock here tells another, and at the calendar's ends there is no day before or after to reckon with.</summary>
    public const string Years = "of the years 1970 to 2199";

    /// <summary>Whether a year is one of <see cref="Years"/>.</summary>
    public static bool IsTold(int year) => year is >= 1970 and <= 2199;

    /// <summary>The time, or what is wrong with it. "19:30" is today's.</summary>
    /// <param name="key">The option, for the sentence.</param>
    /// <param name="text">What was written.</param>
    /// <param name="zone">This place.</param>
    /// <param name="today">What day it is.</param>
    public static (DateTimeOffset? Time, string? Problem) Read(string key, string text, TimeZoneInfo zone, DateTimeOffset today)
    {
        var plain = TimeOnly.TryParseExact(text, "HH:mm", CultureInfo.InvariantCulture, DateTimeStyles.None, out var clock)
            ? TimeZoneInfo.ConvertTime(today, zone).Date + clock.ToTimeSpan()
            : DateTime.TryParseExact(text, Days, CultureInfo.InvariantCulture, DateTimeStyles.None, out var day) ? day : (DateTime?)null;
        if (plain is { } local)
        {
            return !IsTold(local.Year) ? (null, Untold(key, text))
                : zone.IsInvalidTime(local) ? (null, $"{key} = {text}: there is no such time here, clocks were put forward over it. Write the offset, such as {text}+01:00, or Z.")
                : zone.IsAmbiguousTime(local) ? (null, $"{key} = {text}: clocks were put back, and it came twice. Write the offset, such as {text}+01:00, or Z.")
                : (new DateTimeOffset(local, zone.GetUtcOffset(local)), null);
        }

        return DateTimeOffset.TryParseExact(text, Placed, CultureInfo.InvariantCulture, DateTimeStyles.None, out var placed)
            ? IsTold(placed.Year) ? (placed, null) : (null, Untold(key, text))
            : (null, $"{key} = {text}: not a time. Allowed: 19:30 (today), 2026-03-14, 2026-03-14T19:30 (this place's time), 2026-03-14T19:30Z or +01:00. Write one of these.");
    }

    private static string Untold(string key, string text) => $"{key} = {text}: not a time {Years}. Write the year with all of its four digits.";

    /// <summary>The time as it was here; with its offset where clocks were put back and it came twice.</summary>
    public static string Text(DateTimeOffset? time, TimeZoneInfo zone) => time is { } at && TimeZoneInfo.ConvertTime(at, zone) is var here
        ? here.ToString(zone.IsAmbiguousTime(here) ? "yyyy-MM-dd HH:mmzzz" : "yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture) : "not dated yet    ";
}
