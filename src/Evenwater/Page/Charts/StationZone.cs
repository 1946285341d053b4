namespace Evenwater.Page.Charts;

/// <summary>The place whose time a station's pages show.</summary>
internal static class StationZone
{
    /// <summary>This machine's; of a simulated station whose own clock keeps another, that.</summary>
    public static TimeZoneInfo Of(StationView view) => Of(view, TimeZoneInfo.Local);

    /// <summary>The same, on a machine in this place.</summary>
    internal static TimeZoneInfo Of(StationView view, TimeZoneInfo here) => view.Simulated && here.GetUtcOffset(view.Now) != view.Now.Offset
        ? TimeZoneInfo.CreateCustomTimeZone("simulated", view.Now.Offset, "simulated", "simulated")
        : here;

    /// <summary>By how many minutes the place is ahead of UTC, and from when on: the first at the beginning, then each change.</summary>
    public static IReadOnlyList<(DateTimeOffset From, int Minutes)> Offsets(TimeZoneInfo zone, DateTimeOffset from, DateTimeOffset to)
    {
        List<(DateTimeOffset From, int Minutes)> offsets = [(from, Minutes(zone, from))];
        // A quarter of an hour is the grain at which places change their clocks (the tz database, from memory).
        for (var day = from.AddDays(1); day < to.AddDays(1) && offsets.Count < 100; day = day.AddDays(1))
        {
            if (Minutes(zone, day) == offsets[^1].Minutes) continue;
            var at = new DateTimeOffset(day.UtcTicks - (day.UtcTicks % TimeSpan.FromMinutes(15).Ticks), TimeSpan.Zero).AddDays(-1);
            while (Minutes(zone, at) == offsets[^1].Minutes) at = at.AddMinutes(15);
            offsets.Add((at, Minutes(zone, at)));
        }

        return offsets;
    }

    private static int Minutes(TimeZoneInfo zone, DateTimeOffset at) => (int)zone.GetUtcOffset(at).TotalMinutes;
}
