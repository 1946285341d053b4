namespace Evenwater.Core.Standing;

/// <summary>Day and hour on the keeper's wall clock.</summary>
internal static class LocalTime
{
    /// <summary>The local day and hour, 0 to 23, of an instant. Going from the instant to the wall is never ambiguous, whatever the clocks do.</summary>
    public static (DateOnly Day, int Hour) Of(DateTimeOffset instant, TimeZoneInfo zone)
    {
        var local = TimeZoneInfo.ConvertTime(instant, zone).DateTime;
        return (DateOnly.FromDateTime(local), local.Hour);
    }

    /// <summary>
    /// When a local day begins: its midnight, the earlier of two, or the first instant after one that a change of the clocks leaves out.
    /// </summary>
    public static DateTimeOffset Midnight(DateOnly day, TimeZoneInfo zone)
    {
        var wall = day.ToDateTime(TimeOnly.MinValue, DateTimeKind.Unspecified);
        while (zone.IsInvalidTime(wall)) wall = wall.AddMinutes(1);
        var offset = zone.IsAmbiguousTime(wall) ? zone.GetAmbiguousTimeOffsets(wall).Max() : zone.GetUtcOffset(wall);
        return new DateTimeOffset(wall, offset);
    }
}
