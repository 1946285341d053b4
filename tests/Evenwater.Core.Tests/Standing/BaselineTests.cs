using Evenwater.Core.Estimation;
using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Standing;

public class BaselineTests
{
    private static readonly TimeZoneInfo Berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");
    private static readonly TimeSpan Hour = TimeSpan.FromHours(1);

    private static DateTimeOffset Utc(int month, int day, double hours) => new DateTimeOffset(2026, month, day, 0, 0, 0, TimeSpan.Zero).AddHours(hours);

    private static IEnumerable<Stretch> Hours(int days, Func<int, int, double> value) =>
        from day in Enumerable.Range(0, days) from hour in Enumerable.Range(0, 24) select new Stretch(Utc(6, 1, (24 * day) + hour), Hour, value(day, hour));

    [Fact] // by hand: 14 days at 200 + hour, but one day of a probe in its bath; every other day 1 higher: median of 7 x 0 and 7 x 1 is 0.5, deviation 0.5
    public void Each_hour_has_a_middle_of_its_own_and_a_day_in_the_bath_moves_it_little()
    {
        var past = Hours(15, (day, hour) => day == 14 ? 5 : 200 + hour + (day % 2)).ToList();
        var baseline = DayBaseline.Of(past, new DateOnly(2026, 6, 16), TimeZoneInfo.Utc, 0.1);
        var ten = baseline.At(Utc(6, 16, 10.5))!.Value;
        Assert.Equal(15, ten.Days);
        Assert.Equal(210, ten.Median); // 7 x 211, 7 x 210, one 5
        Assert.Equal(1.4826, ten.Sd, 1e-9); // distances: 7 x 0, 7 x 1, 205
        Assert.Equal(223, baseline.At(Utc(6, 16, 23))!.Value.Median);
        Assert.True(ten.Outside(210 + (4.6 * 1.4826)));
        Assert.False(ten.Outside(210 - (4.4 * 1.4826)));
    }

    [Fact]
    public void Thirteen_days_can_not_tell_and_fourteen_can()
    {
        var past = Hours(14, (_, hour) => hour).ToList();
        HourBaseline At(int day) => DayBaseline.Of(past, new DateOnly(2026, 6, day), TimeZoneInfo.Utc, 0.1).At(Utc(6, day, 3))!.Value;
        Assert.Equal((13, null), (At(14).Days, At(14).Outside(1e6)));
        Assert.Equal((14, true), (At(15).Days, At(15).Outside(1e6)));
    }

    [Fact]
    public void The_day_that_is_judged_and_days_long_past_are_no_part_of_it()
    {
        var past = Hours(40, (day, _) => day).ToList();
        var noon = DayBaseline.Of(past, new DateOnly(2026, 7, 10), TimeZoneInfo.Utc, 0.1).At(Utc(7, 10, 12))!.Value;
        Assert.Equal(28, noon.Days);
        Assert.Equal(24.5, noon.Median); // days 11 to 38; the 39th is 10 July
    }

    // Berlin, 2026: clocks go forward on 29 March at 01:00 UTC and back on 25 October at 01:00 UTC (EU directive 2000/84/EC: last Sundays, 01:00 UTC).
    [Fact]
    public void A_lamp_on_a_timer_keeps_its_hour_when_the_clocks_change()
    {
        var past = from day in Enumerable.Range(0, 28)
                   from hour in Enumerable.Range(0, 24)
                   let at = Utc(3, 16, (24 * day) + hour)
                   select new Stretch(at, Hour, TimeZoneInfo.ConvertTime(at, Berlin).Hour == 9 ? 100 : 0);
        var baseline = DayBaseline.Of(past, new DateOnly(2026, 4, 12), Berlin, 0.1);
        Assert.Equal(100, baseline.Hours[9]!.Value.Low); // not one day among them dark
        Assert.Equal(0, baseline.Hours[8]!.Value.High);
        Assert.Equal(0, baseline.Hours[10]!.Value.High);
        Assert.Equal(baseline.Hours[9]!.Value.Days - 1, baseline.Hours[2]!.Value.Days); // 29 March has no 02:00
    }

    [Fact]
    public void An_hour_that_a_day_has_twice_counts_once()
    {
        var past = Enumerable.Range(0, 96).Select(hour => new Stretch(Utc(10, 23, hour), Hour, 1.0));
        Assert.Equal(3, DayBaseline.Of(past, new DateOnly(2026, 10, 26), Berlin, 0.1).Hours[2]!.Value.Days);
    }

    [Fact] // 20 min of 10 and 10 min of 40: (20 x 10 + 10 x 40) / 30
    public void Of_an_hour_that_was_measured_in_part_each_minute_counts_alike()
    {
        var past = Enumerable.Range(0, 20).SelectMany(day => new[] { new Stretch(Utc(6, 1, 24 * day), TimeSpan.FromMinutes(20), 10), new Stretch(Utc(6, 1, (24 * day) + 0.5), TimeSpan.FromMinutes(10), 40) });
        Assert.Equal(20, DayBaseline.Of(past, new DateOnly(2026, 6, 21), TimeZoneInfo.Utc, 0.1).Hours[0]!.Value.Median, 9);
    }

    [Theory]
    [InlineData(100.0, false)]
    [InlineData(99.9, true)]
    [InlineData(200.0, false)]
    [InlineData(200.1, true)]
    [InlineData(null, null)]
    public void A_keepers_limits_are_still_within_and_of_nothing_read_nothing_is_said(double? now, bool? beyond)
    {
        Assert.Equal(beyond, new ChannelStanding(Channel.TankConductivity, now, null, null, 100, 200).BeyondLimit);
        Assert.Equal(now is null ? null : now < 100, new ChannelStanding(Channel.TankConductivity, now, null, null, 100, null).BeyondLimit);
        Assert.Equal(now is null ? null : now > 200, new ChannelStanding(Channel.TankConductivity, now, null, null, null, 200).BeyondLimit);
        Assert.False(new ChannelStanding(Channel.TankConductivity, now, null, null, null, null).BeyondLimit);
    }

    [Fact]
    public void Twenty_minutes_are_no_hour()
    {
        var past = Enumerable.Range(0, 20).Select(day => new Stretch(Utc(6, 1, 24 * day), TimeSpan.FromMinutes(20), 7.0));
        Assert.Null(DayBaseline.Of(past, new DateOnly(2026, 6, 21), TimeZoneInfo.Utc, 0.1).Hours[0]);
    }

    [Fact] // a heater that holds to a sixteenth of a degree for a month would call at the next sixteenth
    public void The_width_is_never_less_than_the_probe_can_tell()
    {
        var past = Hours(28, (_, _) => 24.0625).ToList();
        var hour = DayBaseline.Of(past, new DateOnly(2026, 6, 29), TimeZoneInfo.Utc, 0.1).At(Utc(6, 29, 4))!.Value;
        Assert.Equal(0.1, hour.Sd);
        Assert.False(hour.Outside(24.5));
        Assert.True(hour.Outside(24.52));
    }

    [Fact] // what the limit's own words claim: below 1 % of the next hours after 14 days, of a normal distribution
    public void Few_usual_hours_are_called_outside()
    {
        var generator = new Generator(20261128);
        var called = 0;
        const int Tries = 20_000;
        for (var i = 0; i < Tries; i++)
        {
            var past = Enumerable.Range(0, 14).Select(_ => Normal.Inverse(Math.Max(generator.NextUniform(), 1e-12))).ToList();
            var middle = Spread.Median(past);
            var hour = new HourBaseline(14, middle, 0, 0, Spread.NormalFactor * Spread.MedianDeviation(past));
            called += hour.Outside(Normal.Inverse(Math.Max(generator.NextUniform(), 1e-12))) == true ? 1 : 0;
        }

        Assert.InRange(called / (double)Tries, 0.003, 0.009);
    }
}
