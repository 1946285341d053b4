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
        if (Plain(text, zone, today) is { } local)
        {
            return !IsTold(local.Year) ? (null, Untold(key, text))
                : DateOnly.TryParseExact(text, Days[0], CultureInfo.InvariantCulture, DateTimeStyles.None, out var date) ? (Begins(date, zone), null)
                : Changed(local, zone) is { } changed ? (null, $"{key} = {text}: {changed}")
                : (new DateTimeOffset(local, zone.GetUtcOffset(local)), null);
        }

        return DateTimeOffset.TryParseExact(text, Placed, CultureInfo.InvariantCulture, DateTimeStyles.None, out var placed)
            ? IsTold(placed.Year) ? (placed, null) : (null, Untold(key, text))
            : (null, $"{key} = {text}: not a time. Allowed: 19:30 (today), 2026-03-14, 2026-03-14T19:30 (this place's time), 2026-03-14T19:30Z or +01:00. Write one of these.");
    }

    /// <summary>When a day begins: at midnight, the first where it comes twice, or, where the clocks are put forward over it, when they have been. Days of 23 and 25 hours are days.</summary>
    public static DateTimeOffset Begins(DateOnly day, TimeZoneInfo zone)
    {
        var local = day.ToDateTime(TimeOnly.MinValue);
        while (zone.IsInvalidTime(local)) local = local.AddMinutes(15);
        return new(local, zone.IsAmbiguousTime(local) ? zone.GetAmbiguousTimeOffsets(local).Max() : zone.GetUtcOffset(local));
    }

    /// <summary>As a sentence: why what was written is no time of this place, or two, because the clocks were changed, and what to write; null when it is not that.</summary>
    public static string? Changed(string text, TimeZoneInfo zone, DateTimeOffset today) =>
        Plain(text, zone, today) is { } local && Changed(local, zone) is [var first, .. var rest] ? $"{char.ToUpperInvariant(first)}{rest}" : null;

    private static string? Changed(DateTime local, TimeZoneInfo zone)
    {
        if (zone.IsInvalidTime(local))
        {
            var reckoned = TimeZoneInfo.ConvertTime(new DateTimeOffset(local, zone.GetUtcOffset(local)), zone); // with the offset of before
            return $"there is no such time here, clocks were put forward over it. By a clock that was not, it is {Told(reckoned)}: write that, or another.";
        }

        if (!zone.IsAmbiguousTime(local)) return null;
        var offsets = zone.GetAmbiguousTimeOffsets(local);
        return $"clocks were put back, and it came twice. Write {Told(new(local, offsets.Max()))} for the first of them, {Told(new(local, offsets.Min()))} for the second.";

        static string Told(DateTimeOffset at) => at.ToString(at.Second == 0 ? "yyyy-MM-dd'T'HH:mmzzz" : "yyyy-MM-dd'T'HH:mm:sszzz");
    }

    /// <summary>A time without an offset, as it was written.</summary>
    private static DateTime? Plain(string text, TimeZoneInfo zone, DateTimeOffset today) =>
        TimeOnly.TryParseExact(text, "HH:mm", CultureInfo.InvariantCulture, DateTimeStyles.None, out var clock) ? TimeZoneInfo.ConvertTime(today, zone).Date + clock.ToTimeSpan()
            : DateTime.TryParseExact(text, Days, CultureInfo.InvariantCulture, DateTimeStyles.None, out var day) ? day : null;

    private static string Untold(string key, string text) => $"{key} = {text}: not a time {Years}. Write the year with all of its four digits.";

    /// <summary>The time as it was here; with its offset where clocks were put back and it came twice.</summary>
    public static string Text(DateTimeOffset? time, TimeZoneInfo zone) => time is { } at && TimeZoneInfo.ConvertTime(at, zone) is var here
        ? here.ToString(zone.IsAmbiguousTime(here) ? "yyyy-MM-dd HH:mmzzz" : "yyyy-MM-dd HH:mm") : "not dated yet    ";
}
