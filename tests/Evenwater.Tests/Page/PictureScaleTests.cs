using Evenwater.Page;

namespace Evenwater.Tests.Page;

public sealed class PictureScaleTests
{
    /// <summary>A range hardly ever begins at a full second, and few of these are binary fractions.</summary>
    [Fact]
    public void Marks_of_the_clock_stand_at_full_hours_from_whatever_millisecond_a_range_begins()
    {
        var scale = new PictureScale(0, 14 * 3600, 0, 300);
        for (var milliseconds = 0; milliseconds < 60_000; milliseconds += 17)
        {
            var from = new DateTimeOffset(2026, 11, 28, 10, 42, 0, TimeSpan.Zero).AddMilliseconds(milliseconds);

            var marks = scale.ClockTicks(s => from.AddSeconds(s), 4).ToList();

            Assert.Equal(["12:00:00.0000000", "16:00:00.0000000", "20:00:00.0000000", "00:00:00.0000000"], marks.Select(m => m.Clock.ToString("HH:mm:ss.fffffff")));
            Assert.All(marks, m => Assert.Equal((m.Clock - from).TotalSeconds, m.Seconds, 1e-6));
        }
    }

    /// <summary>25 October 2026 in Berlin: at 03:00 the clocks go back to 02:00 (EU Directive 2000/84/EC: the last Sunday in October, 01:00 UTC).</summary>
    [Fact]
    public void After_the_clocks_were_put_back_the_marks_tell_what_they_show()
    {
        var berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");
        var from = new DateTimeOffset(2026, 10, 24, 22, 30, 0, 250, TimeSpan.FromHours(2));
        var scale = new PictureScale(0, 6 * 3600, 0, 300);

        var marks = scale.ClockTicks(s => TimeZoneInfo.ConvertTime(from.AddSeconds(s), berlin), 6).Select(m => m.Clock.ToString("HH:mm zzz"));

        Assert.Equal(["23:00 +02:00", "00:00 +02:00", "01:00 +02:00", "02:00 +02:00", "02:00 +01:00", "03:00 +01:00"], marks);
    }

    /// <summary>The same change, looked at over days: each mark that is read as a day stands where that day begins.</summary>
    [Theory]
    [InlineData("2026-10-21T15:20+02:00", 8, 9)]
    [InlineData("2026-10-14T15:20+02:00", 28, 5)]
    [InlineData("2026-03-20T15:20+01:00", 28, 8)]
    public void Marks_of_days_stand_at_midnight_also_after_the_clocks_were_changed(string begins, int days, int atMost)
    {
        var berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");
        var from = DateTimeOffset.Parse(begins, System.Globalization.CultureInfo.InvariantCulture);
        var scale = new PictureScale(0, days * 86_400.0, 0, 300);

        var marks = scale.ClockTicks(s => TimeZoneInfo.ConvertTime(from.AddSeconds(s), berlin), atMost).ToList();

        Assert.InRange(marks.Count, 4, atMost);
        Assert.NotEqual(marks[0].Clock.Offset, marks[^1].Clock.Offset);
        Assert.All(marks, m => Assert.Equal(TimeSpan.Zero, m.Clock.TimeOfDay));
        Assert.All(marks, m => Assert.Equal((m.Clock - from).TotalSeconds, m.Seconds, 1e-6));
        Assert.Single(marks.Zip(marks.Skip(1), (one, next) => next.Clock.Date - one.Clock.Date).Distinct());
    }
}
