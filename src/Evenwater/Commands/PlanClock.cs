using System.Globalization;
using Evenwater.Keeping;

namespace Evenwater.Commands;

/// <summary>Hours of a plan as the local clock shows them, and the other way round.</summary>
/// <param name="start">When the run begins.</param>
/// <param name="zone">The keeper's own time zone.</param>
internal sealed class PlanClock(DateTimeOffset start, TimeZoneInfo zone)
{
    /// <summary>Nothing is planned further ahead than this, h.</summary>
    private const double MostHours = 48;

    private static readonly string[] Dated = ["yyyy-MM-dd HH:mm", "yyyy-MM-dd'T'HH:mm"];

    /// <summary>A clock of now.</summary>
    public static PlanClock Now(TimeProvider time) => new(time.GetUtcNow(), time.LocalTimeZone);

    /// <summary>When the run begins, by the local clock.</summary>
    public DateTimeOffset Start { get; } = TimeZoneInfo.ConvertTime(start, zone);

    /// <summary>So many hours after the start, by the local clock.</summary>
    public DateTimeOffset At(double hours) => TimeZoneInfo.ConvertTime(Start.AddHours(hours), zone);

    /// <summary>The hour alone on the day of the start, with the day's name on another.</summary>
    public string Text(double hours)
    {
        var at = At(hours).AddSeconds(30); // to the nearest minute
        return at.ToString(at.Date == Start.Date ? "HH:mm" : "ddd HH:mm");
    }

    /// <summary>Hours from the start to what an option says, or why not.</summary>
    /// <param name="option">The option's name.</param>
    /// <param name="text">HH:MM, the next time that the clock shows it, or a date and time.</param>
    /// <param name="afterHours">What it must come after, h from the start.</param>
    /// <param name="after">That, in words.</param>
    public (double Hours, string? Problem) Read(string option, string text, double afterHours, string after)
    {
        DateTime local;
        if (DateTime.TryParseExact(text, Dated, CultureInfo.InvariantCulture, DateTimeStyles.None, out var dated) && KeptTime.IsTold(dated.Year)) local = dated;
        else if (TimeOnly.TryParseExact(text, ["HH:mm", "H:mm"], CultureInfo.InvariantCulture, DateTimeStyles.None, out var hour))
        {
            var first = At(afterHours);
            local = first.Date + hour.ToTimeSpan();
            if (!Instants(local).Any(at => at > first)) local = local.AddDays(1);
        }
        else return (0, $"{option} {text}: not a time. Allowed: HH:MM, such as 07:00, or a date and time, such as {At(12):yyyy-MM-dd HH:mm}. Give the local hour.");

        if (zone.IsInvalidTime(local)) return (0, $"{option} {text}: the clock skips that hour on this day. Give another.");
        var instants = Instants(local);
        var hours = (instants.Where(at => at > At(afterHours)).DefaultIfEmpty(instants[^1]).First() - Start).TotalHours;
        var allowed = $"Allowed: after {At(afterHours):yyyy-MM-dd HH:mm} ({after}), to {At(MostHours):yyyy-MM-dd HH:mm}, {MostHours:0} h from the start.";
        return hours <= afterHours ? (0, $"{option} {text}: {(hours <= 0 ? "in the past" : $"not after {after}")}. {allowed} Give a later time.")
            : hours > MostHours ? (0, $"{option} {text}: too far ahead. {allowed} Give an earlier time.")
            : (hours, null);
    }

    /// <summary>When the clock shows a time: once, or twice, the earlier first, when it is put back over it.</summary>
    private DateTimeOffset[] Instants(DateTime local) => zone.IsAmbiguousTime(local)
        ? [.. zone.GetAmbiguousTimeOffsets(local).OrderDescending().Select(offset => new DateTimeOffset(local, offset))]
        : [new(local, zone.GetUtcOffset(local))];
}
