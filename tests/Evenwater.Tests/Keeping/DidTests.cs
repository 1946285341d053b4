using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Review.Comparing;
using Evenwater.Core.Stations;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Keeping;

/// <summary>A tank in which something was moved, and something dosed, in a real log, asked what each did.</summary>
public sealed class DidTests : IDisposable
{
    private const int Days = 26;
    private static readonly DateTimeOffset Begin = new(2026, 6, 1, 0, 0, 0, TimeSpan.Zero);
    private static readonly DateTimeOffset End = Begin.AddDays(Days);
    private static readonly DateTimeOffset Moved = Begin.AddDays(12).AddHours(9);

    private static readonly Station Station = LogFolder.Station("tank") with
    {
        Sensors = LogFolder.Station().Sensors with { Source = SensorSource.Board, GpioChipLabel = "chip" },
    };

    private readonly LogFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>Colder by 12/16 °C from the move on; the station file says another room from day 20 on; nothing is read for 3 h on day 22, and a run on day 24.</summary>
    private async Task WriteAsync(params Note[] notes)
    {
        using var log = _folder.Open();
        var (boot, first) = (log.StartBoot("test", simulated: false), log.Configure(Station));
        var second = log.Configure(Station with { Source = Station.Source with { VolumeLitres = 200 } });
        Entry Make(EntryKind kind, DateTimeOffset wall) => new()
        {
            BootId = boot, ConfigurationId = wall < Begin.AddDays(20) ? first : second, Station = Station.Name, At = MonotonicTime.FromSeconds((wall - Begin).TotalSeconds), Wall = wall, ClockQuality = ClockQuality.Synced, Kind = kind,
        };
        for (var (wall, i) = (Begin, 0); wall < End; (wall, i) = (wall.AddMinutes(5), i + 1))
        {
            if (wall >= Begin.AddDays(22) && wall < Begin.AddDays(22).AddHours(3)) continue;
            var (samples, at) = (RawSamples.None(), MonotonicTime.FromSeconds((wall - Begin).TotalSeconds));
            samples[Channel.TankConductivity] = RawSample.Of(5920 + (i * 7 % 5), at);
            samples[Channel.TankTemperature] = RawSample.Of((25 * 16) + (i * i % 7 < 3 ? 1 : 0) - (wall < Moved ? 0 : 12), at);
            if (log.Append(Make(EntryKind.Cycle, wall) with { Samples = samples, Body = "{\"valveOpen\":false}" }) % 2000 == 0) await log.CommitAsync(); // the queue is bounded
        }

        foreach (var (hours, phase) in ((int, string)[])[(0, "dripping"), (5, "finished")]) log.Append(Make(EntryKind.Run, Begin.AddDays(24).AddHours(hours)) with { RunId = 7, Body = LogJson.Write(new RunBody(phase, "asked")) });
        foreach (var note in notes) log.Append(Make(EntryKind.Note, End) with { Body = LogJson.Write(new NoteBody(note with { WrittenAt = End, By = "Ann" })) });
        await log.CommitAsync();
    }

    private static Note Move => new() { Id = "n1", Kind = NoteKind.Move, At = Moved, Text = "outlet to the left" };

    private DidAnswer Ask(DidAsk ask)
    {
        var (found, problems) = DidReading.Look(_folder.Path, Station.Name, ask, TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
        Assert.Empty(problems);
        return found!.Answer;
    }

    [Fact]
    public async Task What_a_move_did_is_told_from_the_log_and_a_dose_beside_it_takes_the_credit_away()
    {
        await WriteAsync(Move, new Note { Id = "n2", Kind = NoteKind.Dose, At = Moved.AddHours(40), Amount = 5, Unit = "mL" });
        var answer = Ask(new("n1", null));
        var level = answer.Channels.Single(one => one.Channel == Channel.TankTemperature)[Figure.Level]!;
        Assert.Equal(Verdict.Lower, level.Verdict);
        Assert.Equal(-0.75, level.Difference!.Value.Value, 0.03);
        Assert.Equal(185, DidWords.Own(Channel.TankConductivity, Figure.Level, answer.Channels[0][Figure.Level]!.Before!.Value.Value), 0.5); // 5,920 counts by hand, as in TankTests
        Assert.False(answer.Else.Alone);
        var text = string.Join('\n', DidText.Of(answer, TimeZoneInfo.Utc));
        Assert.Contains("None of this can be credited to the move (n1) alone: dose (n2) 1.7 days after lies nearer than can be told apart.", text, StringComparison.Ordinal);
        Assert.Contains("outlet to the left", text, StringComparison.Ordinal);
        Assert.Equal(1 + answer.Channels.Sum(one => one.Figures.Count), DidText.Rows(answer).Count());
        Assert.All(DidText.Rows(answer), row => Assert.Equal(13, row.Count(c => c == ',')));
    }

    [Fact]
    public async Task Of_days_that_are_not_over_it_is_told_when_to_ask_again()
    {
        await WriteAsync(Move with { At = End.AddHours(-2) });
        Assert.All(Ask(new("n1", null)).Channels, channel => Assert.Equal("of the days after nothing is read yet: ask again when they are over, 2026-06-29 22:00", channel.TooLittle)); // a day of settling, two days
        Assert.All(Ask(new(null, End.AddDays(-2), 5, 7, 24)).Channels, channel => Assert.Equal("14 % of the hours after are read so far; half of them is the least: ask again when they are over, 2026-07-03 00:00", channel.TooLittle)); // 24 of 168 h
        string[] Text(DateTimeOffset now) => [.. DidText.Of(Ask(new("n1", null)), TimeZoneInfo.Utc, now)];
        Assert.Equal("The days after it are not over yet: ask again from 2026-06-29 22:00 on.", Text(End)[2]); // as the page says it
        Assert.DoesNotContain(Text(End.AddDays(4)), line => line.StartsWith("The days after", StringComparison.Ordinal));
    }

    [Fact]
    public async Task What_lies_an_hour_and_a_half_away_is_not_told_as_two()
    {
        await WriteAsync(Move, new Note { Id = "n2", Kind = NoteKind.Dose, At = Moved.AddHours(1.5), Amount = 5, Unit = "mL" });
        Assert.Contains("dose (n2) 1.5 h after lies nearer", string.Join('\n', DidText.Of(Ask(new("n1", null)), TimeZoneInfo.Utc)), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Runs_cuts_and_the_station_file_are_what_else_happened()
    {
        await WriteAsync();
        var told = Ask(new(null, Begin.AddDays(21), 5, 4, 0)).Else.All;
        Assert.Contains(told, one => one.What is { Kind: ElseKind.Setting } && one.What.Text.Contains("source.volumeLitres", StringComparison.Ordinal) && one.Bearing == Bearing.Together);
        Assert.Contains(told, one => one.What is { Kind: ElseKind.Cut } && one.What.At == Begin.AddDays(22) && one.What.Until == Begin.AddDays(22).AddHours(3));
        Assert.Contains(told, one => one.What is { Kind: ElseKind.Run } && one.What.Until == Begin.AddDays(24).AddHours(5) && one.Bearing == Bearing.Within);
        Assert.Equal(3, told.Count);
    }

    [Theory]
    [InlineData(1, "1 hour left out that lay far off by itself")]
    [InlineData(2, "2 hours left out that lay far off by themselves")]
    public void One_hour_that_is_left_out_is_told_as_one(int hours, string told)
    {
        Side Side(int leftOut) => new(Channel.TankTemperature, 7, [], [], [], leftOut);
        var spans = new CompareSpans(Moved);
        var answer = new DidAnswer(null, spans, [new(Side(hours), Side(0), [], null, null)], [], WhatElse.Of(spans, []));
        Assert.Contains(DidText.Of(answer, TimeZoneInfo.Utc), line => line.EndsWith(told, StringComparison.Ordinal));
    }

    [Fact] // by hand: 09:00 in Greenwich is 14:30 where clocks are half an hour off the world's; the hours begin at 14:00 there, 08:30 in Greenwich
    public async Task Hours_are_those_of_the_keeper_s_clock_where_it_is_half_an_hour_off()
    {
        await WriteAsync(Move);
        var zone = TimeZoneInfo.CreateCustomTimeZone("half", TimeSpan.FromHours(5.5), "half", "half");
        var (found, _) = DidReading.Look(_folder.Path, Station.Name, new("n1", null), zone, TestContext.Current.CancellationToken);
        Assert.Equal((Moved.AddHours(-0.5), Moved.AddDays(1).AddHours(0.5)), (found!.Answer.Spans.BeforeEnd, found.Answer.Spans.AfterBegin));
        Assert.Contains("2026-06-06 14:00 to 2026-06-13 14:00, beside 7 days after, 2026-06-14 15:00 to 2026-06-21 15:00", DidText.Spans(found.Answer.Spans, zone), StringComparison.Ordinal);
        Assert.Equal(1, found.Answer.Channels[1].Before.Measured);
        Assert.Equal(-0.75, found.Answer.Channels[1][Figure.Level]!.Difference!.Value.Value, 0.03);
    }

    [Fact]
    public async Task So_soon_after_it_as_many_days_are_compared_as_there_are()
    {
        await WriteAsync(Move with { At = End.AddDays(-5) });
        Assert.Equal(4, Ask(new("n1", null)).Spans.AfterDays);
        Assert.Equal(7, Ask(new("n1", null, AfterDays: 7)).Spans.AfterDays);
    }

    [Theory]
    [InlineData(null, 27.0, 7, "at: 2026-06-28 00:00. Allowed: what was done already, before 2026-06-27 00:00. It is yet to come: ask some days after it.")]
    [InlineData("n9", null, 7, "note: n9. Allowed: a note that stands in this station's book")]
    [InlineData(null, null, 7, "note: not given. Allowed: a note of the book, or a time")]
    [InlineData("n1", 5.0, 7, "note: n1. Allowed: a note of the book, or a time, and one of the two")]
    [InlineData("n1", null, 1, "before: 1. Allowed: 2 to 60 d")]
    public async Task A_question_that_can_not_be_asked_names_what_is_allowed(string? note, double? days, int before, string told)
    {
        using (var log = _folder.Open())
        {
            var (boot, configured) = (log.StartBoot("test", simulated: false), log.Configure(Station));
            log.Append(new Entry { BootId = boot, ConfigurationId = configured, Station = Station.Name, At = MonotonicTime.FromSeconds(1), Wall = End, ClockQuality = ClockQuality.Synced, Kind = EntryKind.Note, Body = LogJson.Write(new NoteBody(Move with { WrittenAt = End, By = "Ann" })) });
            await log.CommitAsync(TestContext.Current.CancellationToken);
        }

        var (found, problems) = DidReading.Look(_folder.Path, Station.Name, new(note, days is { } later ? Begin.AddDays(later) : null, before, Now: End), TimeZoneInfo.Utc, TestContext.Current.CancellationToken);
        Assert.Null(found);
        Assert.Contains(told, Assert.Single(problems).ToString(), StringComparison.Ordinal);
    }
}
