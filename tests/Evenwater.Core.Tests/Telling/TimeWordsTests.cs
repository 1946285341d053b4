using System.Globalization;
using Evenwater.Core.Estimation;
using Evenwater.Core.Telling;

namespace Evenwater.CoreTests.Telling;

public class TimeWordsTests
{
    private static readonly DateTimeOffset s_now = new(2026, 3, 1, 23, 7, 20, TimeSpan.FromHours(1));

    [Theory]
    [InlineData(-5, "less than a minute")]
    [InlineData(59, "less than a minute")]
    [InlineData(60, "1 min")]
    [InlineData(754, "13 min")]
    [InlineData(3600, "1 h")]
    [InlineData(3601, "1 h")]
    [InlineData(7_930, "2 h 10 min")]
    [InlineData(86_400, "24 h")]
    [InlineData(86_401, "more than 24 h")]
    [InlineData(double.PositiveInfinity, "more than 24 h")]
    [InlineData(double.NaN, "more than 24 h")]
    public void A_span_is_told_to_the_minute_then_to_five_then_not_at_all(double seconds, string words) =>
        Assert.Equal(words, TimeWords.Span(seconds));

    [Theory]
    [InlineData(-1, "0 s")]
    [InlineData(119.9, "119 s")]
    [InlineData(420, "7 min")]
    [InlineData(7200, "2 h")]
    [InlineData(1e9, "more than 2 days")]
    [InlineData(double.NaN, "unknown")]
    public void An_age_is_never_negative(double seconds, string words) => Assert.Equal(words, TimeWords.Age(seconds));

    [Theory]
    [InlineData(-60, "23:07")]
    [InlineData(600, "23:17")]
    [InlineData(7200, "01:05")]
    [InlineData(90_000, "beyond a day")]
    public void A_clock_time_is_rounded_by_its_distance(double seconds, string words) =>
        Assert.Equal(words, TimeWords.Clock(s_now, seconds));

    /// <summary>Clocks are put back at 03:00 on 2026-10-25, and forward at 02:00 on 2026-03-29.</summary>
    [Theory]
    [InlineData("2026-10-25T00:10:00+02:00", 3 * 3600, "02:10")]
    [InlineData("2026-10-25T00:10:00+02:00", 2 * 3600, "02:10")]
    [InlineData("2026-03-29T00:10:00+01:00", 4 * 3600, "05:10")]
    [InlineData("2026-03-14T00:10:00+01:00", 4 * 3600, "04:10")]
    public void A_clock_time_beyond_a_change_of_the_clocks_is_what_they_show_then(string now, double seconds, string words) =>
        Assert.Equal(words, TimeWords.Clock(DateTimeOffset.Parse(now, CultureInfo.InvariantCulture), seconds, TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin")));

    [Fact]
    public void When_gives_a_range_or_says_that_it_can_not()
    {
        Assert.Equal("at about 02:40 (between 01:55 and 03:50)", TimeWords.When(s_now, new(10_000, 11_000, 12_800, 14_000, 17_000)));
        Assert.Equal("now", TimeWords.When(s_now, new(0, 0, 0, 0, 100)));
        Assert.Equal("can't tell when", TimeWords.When(s_now, new(600, 900, 4000, 9000, 20_000)));
        Assert.Equal("not within 24 h", TimeWords.When(s_now, Quantiles.Never));
        Assert.Equal("at about 07:25 (between 03:15 and tomorrow or later)", TimeWords.When(s_now, new(15_000, 20_000, 30_000, 60_000, 100_000)));
    }
}
