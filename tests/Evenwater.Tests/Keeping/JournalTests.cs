using Evenwater.Commands;
using Evenwater.Core.Keeping;
using Evenwater.Keeping;
using Evenwater.Tests.Running;

namespace Evenwater.Tests.Keeping;

public class JournalTests
{
    private static readonly TimeZoneInfo Berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");
    private static readonly DateTimeOffset Now = new(2026, 11, 28, 22, 30, 0, TimeSpan.Zero); // 23:30 in Berlin
    private static readonly JournalAsk Nothing = new(null, [], null, null, null, null, null, null, null, "Ann", false, null, null, null);

    [Theory]
    [InlineData("19:30", "2026-11-28T18:30:00Z")]
    [InlineData("2026-07-01", "2026-06-30T22:00:00Z")]
    [InlineData("2026-07-01T19:30", "2026-07-01T17:30:00Z")]
    [InlineData("2026-07-01 19:30:15", "2026-07-01T17:30:15Z")]
    [InlineData("2026-07-01T19:30Z", "2026-07-01T19:30:00Z")]
    [InlineData("2026-07-01T19:30-05:00", "2026-07-02T00:30:00Z")]
    [InlineData("2026-10-25T02:30+01:00", "2026-10-25T01:30:00Z")]
    public void A_time_is_this_place_s_unless_it_says_otherwise(string text, string utc) =>
        Assert.Equal(DateTimeOffset.Parse(utc), KeptTime.Read("--at", text, Berlin, Now).Time!.Value.ToUniversalTime());

    [Theory] // clocks went from 03:00 back to 02:00: what is told can be written again
    [InlineData("2026-10-25T00:30:00Z", "2026-10-25 02:30+02:00")]
    [InlineData("2026-10-25T01:30:00Z", "2026-10-25 02:30+01:00")]
    [InlineData("2026-10-25T02:30:00Z", "2026-10-25 03:30")]
    public void An_hour_that_came_twice_is_told_with_its_offset(string utc, string told)
    {
        var at = DateTimeOffset.Parse(utc);
        Assert.Equal(told, KeptTime.Text(at, Berlin));
        Assert.Equal(at, KeptTime.Read("--at", told, Berlin, Now).Time);
    }

    [Theory]
    [InlineData("yesterday", "not a time")]
    [InlineData("25:00", "not a time")]
    [InlineData("0001-01-01", "not a time of the years 1970 to 2199")] // an hour ahead of UTC it would be before the calendar begins
    [InlineData("9999-12-31T23:59Z", "not a time of the years 1970 to 2199")]
    [InlineData("2026-03-29T02:30", "there is no such time here")] // clocks went from 02:00 to 03:00
    [InlineData("2026-10-25T02:30", "it came twice")] // and from 03:00 back to 02:00
    public void A_time_that_is_none_here_or_two_is_refused(string text, string says)
    {
        var (time, problem) = KeptTime.Read("--at", text, Berlin, Now);
        Assert.Null(time);
        Assert.Contains($"--at = {text}: ", problem, StringComparison.Ordinal);
        Assert.Contains(says, problem, StringComparison.Ordinal);
    }

    /// <summary>Told to write +01:00, a keeper in New York wrote a time six hours away, and one who gave the day or the hour alone wrote what can not be read. Clocks by the tz database.</summary>
    [Theory]
    [InlineData("America/New_York", "2026-11-01T01:30", "2026-11-01T01:30-04:00 2026-11-01T01:30-05:00", "2026-11-01T05:30:00Z 2026-11-01T06:30:00Z")]
    [InlineData("America/New_York", "01:30", "2026-11-01T01:30-04:00 2026-11-01T01:30-05:00", "2026-11-01T05:30:00Z 2026-11-01T06:30:00Z")]
    [InlineData("America/New_York", "2026-03-08 02:30:05", "2026-03-08T03:30:05-04:00", "2026-03-08T07:30:05Z")]
    [InlineData("Europe/Berlin", "2026-10-25T02:30", "2026-10-25T02:30+02:00 2026-10-25T02:30+01:00", "2026-10-25T00:30:00Z 2026-10-25T01:30:00Z")]
    public void Where_clocks_were_changed_it_says_what_to_write_and_that_can_be_read(string place, string text, string write, string utc)
    {
        var (zone, today) = (TimeZoneInfo.FindSystemTimeZoneById(place), new DateTimeOffset(2026, 11, 1, 12, 0, 0, TimeSpan.Zero));
        var problem = KeptTime.Read("--at", text, zone, today).Problem;
        Assert.All(write.Split(' '), one => Assert.Contains(one, problem, StringComparison.Ordinal));
        Assert.Equal(utc.Split(' ').Select(DateTimeOffset.Parse), write.Split(' ').Select(one => KeptTime.Read("--at", one, zone, today).Time!.Value.ToUniversalTime()));
    }

    [Theory] // by the tz database clocks go forward and back at midnight there: a day is one still
    [InlineData("America/Santiago", "2026-09-06", "2026-09-06T04:00:00Z")]
    [InlineData("America/Havana", "2026-11-01", "2026-11-01T04:00:00Z")]
    public void A_day_begins_though_its_midnight_does_not_come_or_comes_twice(string place, string day, string utc) =>
        Assert.Equal(DateTimeOffset.Parse(utc), KeptTime.Read("--from", day, TimeZoneInfo.FindSystemTimeZoneById(place), Now).Time!.Value.ToUniversalTime());

    [Fact]
    public void A_note_takes_its_kind_text_and_amount_from_the_options()
    {
        var (note, problem) = (Nothing with { Add = ["dose", "iron"], Amount = "2.5mL", At = "08:15" }).Note(null, Clock);
        Assert.Null(problem);
        Assert.Equal(new Note { Kind = NoteKind.Dose, Text = "iron", Amount = 2.5, Unit = "mL", By = "Ann", At = new(2026, 11, 28, 8, 15, 0, TimeSpan.FromHours(1)) }, note);
    }

    [Fact]
    public void A_correction_takes_over_what_is_not_said_again_and_an_undo_says_nothing()
    {
        var former = new Note { Id = "n3", Kind = NoteKind.WaterChange, Litres = 20, Text = "tap", By = "Bea", At = Now.AddDays(-2), WrittenAt = Now.AddDays(-1) };
        var (corrected, _) = (Nothing with { Correct = "n3", Litres = 24 }).Note(former, Clock);
        Assert.Equal(former with { Id = "", Litres = 24, By = "Ann", WrittenAt = null, Corrects = "n3" }, corrected);
        var (back, _) = (Nothing with { Withdraw = "n3" }).Note(former, Clock);
        Assert.Equal(new Note { Kind = NoteKind.WaterChange, Corrects = "n3", Withdrawn = true, By = "Ann" }, back);
        Assert.Contains("--correct = n4: there is no such note", (Nothing with { Correct = "n4" }).Note(null, Clock).Problem, StringComparison.Ordinal);
    }

    [Fact] // the second within the two minutes in which a note that comes twice is one
    public void What_was_taken_back_just_now_may_be_written_once_more_and_a_correction_that_comes_twice_is_one()
    {
        Note fed = new() { Kind = NoteKind.Feed, Text = "flakes", By = "Ann" }, peas = fed with { Text = "peas", Corrects = "n1" }, back = fed with { Text = "", Corrects = "n1", Withdrawn = true };
        Note Written(Note note, string id) => note with { Id = id, At = Now, WrittenAt = Now };
        string Second(Note first, Note second) => Draft.Of(second, Book.Of([Written(fed, "n1"), Written(first, "n2")]), "pond", Now.AddMinutes(1)).Text;
        Assert.Equal("Written as n3 into the book of pond: feed.", Second(back, fed));
        Assert.Equal("Written as n3 into the book of pond: feed.", Second(peas, fed));
        Assert.Equal("It stands in the book of pond already, as n2: it was written just now.", Second(peas, peas));
        Assert.Equal("It stands in the book of pond already, as n2: it was written just now.", Second(back, back));
        Assert.StartsWith("Not written: corrects: \"n1\".", Second(peas, peas with { Text = "bread" }), StringComparison.Ordinal);
    }

    [Fact]
    public void What_does_not_go_together_is_refused()
    {
        JournalAsk[] wrong =
        [
            Nothing with { Add = ["feed"], Correct = "n1" }, Nothing with { Add = ["feed", "x"], All = true }, Nothing with { Litres = 3 }, Nothing with { Add = ["dance", "x"] },
            Nothing with { Add = ["calibration", "x"] }, Nothing with { Kind = "dance" }, Nothing with { Add = ["feed"], Kind = "dose" }, Nothing with { Add = ["feed", "x"], Text = "y" },
            Nothing with { Withdraw = "n1", Litres = 3 },
        ];
        Assert.All(wrong, ask => Assert.StartsWith("--", ask.Problem, StringComparison.Ordinal));
        Assert.All(new[] { "5", "mL", "5,5 mL", "" }, amount => Assert.Contains("--amount", (Nothing with { Add = ["dose", "x"], Amount = amount }).Note(null, Clock).Problem, StringComparison.Ordinal));
        Assert.Null(Nothing.Problem);
    }

    [Fact]
    public void The_list_tells_what_stands_and_all_of_it_what_was_before()
    {
        var book = Book.Of(
        [
            Of("n1", 20), Of("n2", 24) with { Corrects = "n1" }, Of("n3", 7) with { At = Now.AddDays(-9), Text = "with\nlines \u001b[31m" },
            new() { Id = "n4", Kind = NoteKind.WaterChange, Corrects = "n3", Withdrawn = true, By = "Bea", WrittenAt = Now },
        ]);
        Assert.Equal(["n2    2026-11-28 23:30  water-change  24 L; tap  (Ann)  (corrected, 1 before)"], BookText.Of(book, Berlin, NoteKind.None, default, all: false));
        Assert.Equal(
            [
                "n3    2026-11-19 23:30  water-change  7 L; with lines [31m  (Ann)  (taken back)", "      n4    2026-11-28 23:30  took n3 back, Bea",
                "n2    2026-11-28 23:30  water-change  24 L; tap  (Ann)", "      was n1    2026-11-28 23:30  water-change  20 L; tap  (Ann)",
            ],
            BookText.Of(book, Berlin, NoteKind.None, default, all: true));
        Assert.Empty(BookText.Of(book, Berlin, NoteKind.Feed, default, all: true));
        Assert.Single(BookText.Of(book, Berlin, NoteKind.None, (Now.AddDays(-1), null), all: true), line => line.StartsWith("n2", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(1, "portions", "1 portion")]
    [InlineData(2, "portions", "2 portions")]
    [InlineData(0.5, "portions", "0.5 portions")]
    [InlineData(1, "mL", "1 mL")]
    public void One_of_something_is_told_in_the_singular(double amount, string unit, string words) =>
        Assert.Equal(words, BookText.Words(new Note { Id = "n1", Kind = NoteKind.Feed, Amount = amount, Unit = unit, By = "Ann", WrittenAt = Now }));

    private static SetTime Clock => new(Now, Berlin);

    private static Note Of(string id, double litres) => new() { Id = id, Kind = NoteKind.WaterChange, Litres = litres, Text = "tap", By = "Ann", At = Now, WrittenAt = Now };

    /// <summary>UAX #9, section 2: embeddings, overrides and isolates reach to the end of their paragraph, which on a terminal is the line with the writer's name. A joined emoji and letters that run to the left are only text, and a tab parts words still.</summary>
    [Fact]
    public void A_text_turns_no_more_of_its_line_around_than_its_own_letters()
    {
        Assert.Equal("two abc ad \U0001F469\u200D\U0001F33E \u05D3\u05D2", BookText.OneLine("two\r\n\u202Eabc\u2067\t\u001b\u0007ad \U0001F469\u200D\U0001F33E \u05D3\u05D2\n"));
    }

    [Fact]
    public void Of_a_photograph_whose_file_is_deleted_the_list_says_so_as_the_page_does()
    {
        var book = Book.Of([new Note { Id = "n1", Kind = NoteKind.Feed, By = "Ann", At = Now, WrittenAt = Now, Text = "flakes", Photographs = ["aa", "bb"] }]);
        Assert.Equal(["      photograph aa", "      photograph bb; its file is deleted"], BookText.Of(book, Berlin, NoteKind.None, default, all: true, name => name == "aa").Skip(1));
    }
}
