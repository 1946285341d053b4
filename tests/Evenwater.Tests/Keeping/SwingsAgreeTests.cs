using Evenwater.Core;
using Evenwater.Core.Review;
using Evenwater.Core.Standing;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Page.Looking;
using Evenwater.Tests.Daemon;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Keeping;

/// <summary>What swung is told the same at a terminal and on the page.</summary>
public sealed class SwingsAgreeTests
{
    /// <summary>A thermometer of 0.02 °C that fell by 1 °C and scatters four times as wide from then on, as one with a loose plug does.</summary>
    [Fact]
    public void A_channel_that_fell_and_became_restless_at_once_is_told_to_have_done_both()
    {
        var (random, start) = (new Random(3), new DateTimeOffset(2026, 6, 1, 0, 0, 0, TimeSpan.Zero));
        const int Days = 12, Broke = 8 * 1440;
        double Noise(double sd) => sd * (Enumerable.Range(0, 12).Sum(_ => random.NextDouble()) - 6);
        var course = Course.Of(
            Channel.TankTemperature, Enumerable.Range(0, Days * 1440).Select(i => new Stretch(start.AddMinutes(i), TimeSpan.FromMinutes(1), i < Broke ? 25 + Noise(0.02) : 24 + Noise(0.08))),
            start, start.AddDays(Days), TimeZoneInfo.Utc);
        var courses = new Dictionary<Channel, Course> { [Channel.TankTemperature] = course };
        var happened = new Happened { TankLitres = 100 };
        var back = new LookBack("sim-river", courses, Episode.Of(courses, happened), happened);
        var episode = SwingsMade.Of(back, (start, start.AddDays(Days)), null, TimeZoneInfo.Utc).Episodes[0];
        var lines = LookBackText.Of(back, null, TimeZoneInfo.Utc).TakeWhile(line => !line.StartsWith("  1.", StringComparison.Ordinal)).ToList();

        Assert.Equal(3, lines.Count);
        Assert.Matches(@"temperature -(0\.9[5-9]|1|1\.0[1-5]) °C$", lines[0]);
        Assert.Single(lines, line => line.Contains("single readings scatter", StringComparison.Ordinal));
        Assert.Equal(["level", "unrest"], episode.Channels.Select(one => one.Shape));
        Assert.Equal(episode.Channels[0].After!.Value - episode.Channels[0].Before!.Value, episode.Channels[0].Size, 1e-9);
        Assert.StartsWith("The temperature went from 25.00 to 24.0", episode.Sentence, StringComparison.Ordinal);
        Assert.StartsWith($"{episode.At:yyyy-MM-dd HH:mm}  ", lines[0], StringComparison.Ordinal);
    }

    [Theory] // lit from 9 to 19 h at 10,000 lx, else 5; then three hours longer, or not at all
    [InlineData(22, "2026-06-20 19:00  light 9995 lx beside what was expected", "10000 ± 81 lx where 5 was expected at that hour; ", "The light was 10000 lx where 5 was expected at that hour. ")]
    [InlineData(9, "2026-06-20 09:00  light -9995 lx beside what was expected", "5 ± 81 lx where 10000 was expected at that hour; ", "The light was 5 lx where 10000 was expected at that hour. ")]
    public void Light_is_told_beside_what_was_expected_at_that_hour_and_not_beside_the_hours_before(int until, string head, string line, string sentence)
    {
        var start = new DateTimeOffset(2026, 6, 1, 0, 0, 0, TimeSpan.Zero);
        const int Days = 21;
        var course = Course.Of(
            Channel.TankLight, Enumerable.Range(0, Days * 1440).Select(i => new Stretch(start.AddMinutes(i), TimeSpan.FromMinutes(1), i % 1440 is var minute && minute >= 540 && minute < 60 * (i < 19 * 1440 ? 19 : until) ? 10_000 : 5)),
            start, start.AddDays(Days), TimeZoneInfo.Utc);
        var courses = new Dictionary<Channel, Course> { [Channel.TankLight] = course };
        var happened = new Happened { TankLitres = 100 };
        var back = new LookBack("sim-river", courses, Episode.Of(courses, happened), happened);
        var text = LookBackText.Of(back, null, TimeZoneInfo.Utc).ToList();
        Assert.Contains(head, text);
        Assert.StartsWith($"  light         {line}", text[text.IndexOf(head) + 1], StringComparison.Ordinal);
        var told = SwingsMade.Of(back, (start, start.AddDays(Days)), null, TimeZoneInfo.Utc).Episodes;
        Assert.StartsWith(sentence, told[0].Sentence, StringComparison.Ordinal);
        Assert.Null(told[0].Channels[0].PerHour);
        Assert.Contains(line[..line.IndexOf(" was expected", StringComparison.Ordinal)].Replace(" ± 81", "", StringComparison.Ordinal), SwingPictures.Of(back, back.Episodes[0], 1, TimeZoneInfo.Utc), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_table_without_a_row_has_it_said_beside_it_why()
    {
        using var program = new ProgramUnderTest();
        using (var log = NightLog.Open(program.State, pace: LogFolder.Quick))
        {
            new Night(log).Cycle();
            log.Flush();
        }

        var review = await program.CallAsync("review", "river", "--as", "csv");
        Assert.Equal((0, 1), (review.Exit, review.Out.Count(c => c == '\n')));
        Assert.StartsWith("Of conductivity and temperature nothing is told yet", review.Error, StringComparison.Ordinal);
        Assert.Contains("\nCan't tell whether anything swung", review.Error, StringComparison.Ordinal);
        var none = await program.CallAsync("review", "river", "--from", "2026-03-14T20:00", "--to", "2026-03-14T20:00");
        Assert.Equal(2, none.Exit);
        Assert.StartsWith("--from = 2026-03-14 20:00, --to = 2026-03-14 20:00: allowed is from before to", none.Error, StringComparison.Ordinal); // by the clock that it was typed by
        var did = await program.CallAsync("did", "river", "--at", "2026-03-14T20:00Z", "--as", "csv");
        Assert.Equal((0, 1), (did.Exit, did.Out.Count(c => c == '\n')));
        Assert.StartsWith("conductivity: can't tell, ", did.Error, StringComparison.Ordinal);
    }
}
