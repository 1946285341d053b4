using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Standing;

public class LightDayTests
{
    private static readonly TimeZoneInfo Berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");
    private static readonly TimeSpan Quarter = TimeSpan.FromMinutes(15);

    private static IEnumerable<Stretch> Quarters(DateTimeOffset from, double hours, Func<DateTimeOffset, double> lux) =>
        Enumerable.Range(0, (int)(hours * 4)).Select(i => from + (i * Quarter)).Select(at => new Stretch(at, Quarter, lux(at)));

    [Fact] // by hand: 8 h at 5000 lx and 16 h at 20 lx are 40,000 + 320 lx h
    public void A_day_of_eight_hours_of_light()
    {
        var midnight = new DateTimeOffset(2026, 6, 10, 0, 0, 0, TimeSpan.FromHours(2));
        var day = Assert.Single(LightDay.Of(Quarters(midnight, 24, at => at >= midnight.AddHours(10) && at < midnight.AddHours(18) ? 5000 : 20), Berlin));
        Assert.Equal(40_320, day.LuxHours, 1e-6);
        Assert.Equal(8, day.LitHours, 1e-9);
        Assert.Equal((midnight.AddHours(10), midnight.AddHours(18)), (day.On, day.Off));
        Assert.True(day.Tells);
        Assert.Equal(1, day.MeasuredShare, 1e-9);
    }

    [Theory] // on from 8 to 12, and again from 14 to 20; on from 18 to half past midnight
    [InlineData(11, 8.0, null)]
    [InlineData(13, 8.0, 12.0)]
    [InlineData(15, 8.0, null)]
    [InlineData(24, 8.0, 20.0)]
    [InlineData(24, 18.0, 0.5, true)]
    public void A_light_that_is_on_again_is_not_told_as_off(double until, double? on, double? off, bool night = false)
    {
        var midnight = new DateTimeOffset(2026, 6, 10, 0, 0, 0, TimeSpan.FromHours(2));
        bool Lit(double hour) => night ? hour is < 0.5 or >= 18 : hour is (>= 8 and < 12) or (>= 14 and < 20);
        var day = LightDay.Of(Quarters(midnight, until, at => Lit((at - midnight).TotalHours) ? 5000 : 20), Berlin)[^1];
        Assert.Equal((on, off), ((day.On - midnight)?.TotalHours, (day.Off - midnight)?.TotalHours));
    }

    // The day the clocks go back has 25 h and the other 23 (EU directive 2000/84/EC).
    [Theory]
    [InlineData(10, 25, 25)]
    [InlineData(3, 29, 23)]
    public void A_day_of_other_length_is_whole_when_all_of_it_was_measured(int month, int dayOfMonth, double hours)
    {
        var midnight = new DateTimeOffset(2026, month, dayOfMonth, 0, 0, 0, month == 10 ? TimeSpan.FromHours(2) : TimeSpan.FromHours(1));
        var day = Assert.Single(LightDay.Of(Quarters(midnight, hours, _ => 100), Berlin));
        Assert.Equal(1, day.MeasuredShare, 1e-9);
        Assert.Equal(100 * hours, day.LuxHours, 1e-6);
    }

    [Fact] // a cloud at 600 lx is above half of 1000: it does not end the day's light; 400 lx does
    public void A_cloud_does_not_switch_the_light_to_and_fro()
    {
        var midnight = new DateTimeOffset(2026, 6, 10, 0, 0, 0, TimeSpan.FromHours(2));
        LightDay With(double cloud) => Assert.Single(LightDay.Of(
            Quarters(midnight, 24, at => (at - midnight).TotalHours switch { >= 12 and < 13 => cloud, >= 8 and < 16 => 2000, _ => 600 }), Berlin));
        Assert.Equal(0, LightDay.Of(Quarters(midnight, 24, _ => 600), Berlin)[0].LitHours);
        Assert.Equal(16, With(600).LitHours, 1e-9); // on at 8, and 600 lx never ends it
        Assert.Equal(7, With(400).LitHours - 8, 1e-9); // 8 to 12, 13 to midnight
    }

    [Fact]
    public void A_gap_is_neither_light_nor_dark_and_nobody_saw_the_switch_in_it()
    {
        var midnight = new DateTimeOffset(2026, 6, 10, 0, 0, 0, TimeSpan.FromHours(2));
        var seen = Quarters(midnight, 24, at => at >= midnight.AddHours(10) && at < midnight.AddHours(18) ? 5000 : 20)
            .Where(at => at.From < midnight.AddHours(9) || at.From >= midnight.AddHours(12));
        var day = Assert.Single(LightDay.Of(seen, Berlin));
        Assert.Equal(6, day.LitHours, 1e-9);
        Assert.Null(day.On);
        Assert.Equal(midnight.AddHours(18), day.Off);
        Assert.Equal(21 / 24.0, day.MeasuredShare, 1e-9);
        Assert.False(day.Tells);
    }
}
