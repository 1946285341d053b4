using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Standing;

/// <summary>When a local day begins where clocks are changed at midnight, by the IANA database.</summary>
public class LocalTimeTests
{
    [Theory]
    [InlineData("Europe/Berlin", "2026-03-29", "2026-03-28T23:00:00Z")] // at 02:00 only: an ordinary midnight
    [InlineData("America/Sao_Paulo", "2018-11-04", "2018-11-04T03:00:00Z")] // 00:00 to 01:00 is left out: the day begins at 01:00 -02:00
    [InlineData("America/Havana", "2024-11-03", "2024-11-03T04:00:00Z")] // at 01:00 -04:00 it is 00:00 -05:00 again: the first of the two
    public void A_day_begins_at_its_first_instant(string zone, string day, string instant) =>
        Assert.Equal(DateTimeOffset.Parse(instant, System.Globalization.CultureInfo.InvariantCulture), LocalTime.Midnight(DateOnly.Parse(day, System.Globalization.CultureInfo.InvariantCulture), TimeZoneInfo.FindSystemTimeZoneById(zone)));
}
