using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;
using Evenwater.Page.Arriving;
using Evenwater.Page.Journal;

namespace Evenwater.Tests.Page;

/// <summary>What is typed into the forms of the book becomes a note, or is refused by its field.</summary>
public class JournalFormTests
{
    private static readonly TimeZoneInfo Berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin");
    private static readonly DateTimeOffset Now = new(2026, 11, 28, 22, 30, 0, TimeSpan.Zero); // 23:30 in Berlin

    [Fact]
    public void A_note_is_read_with_the_fields_of_its_kind_and_no_others()
    {
        Assert.Equal(
            new Note { Kind = NoteKind.WaterChange, Litres = 24.5, Text = "gravel", By = "Ann", At = new(2026, 11, 28, 19, 30, 0, TimeSpan.FromHours(1)) },
            Read(NoteKind.WaterChange, ("litres", "24.5"), ("text", " gravel "), ("by", "Ann"), ("at", "2026-11-28T19:30"), ("amount", "7"), ("unit", "mL")));
        Assert.Equal(new Note { Kind = NoteKind.Dose, Amount = 5, Unit = "mL", By = "Ann" }, Read(NoteKind.Dose, ("amount", "5"), ("unit", "mL"), ("by", "Ann"), ("litres", "3")));
        Assert.Equal(new Note { Kind = NoteKind.Dose, Text = "iron", By = "Ann" }, Read(NoteKind.Dose, ("unit", "mL"), ("text", "iron"), ("by", "Ann"))); // a unit without an amount is what the list shows first
        Assert.Equal(new ManualTest { Of = Substance.Nitrate, Value = 20, Step = 5 }, Read(NoteKind.Test, ("of", "NO3"), ("value", "20"), ("step", "5")).Test);
        Assert.Equal(new Observation(Sight.PlantColour, 4), Read(NoteKind.Observation, ("sight", "plant-colour"), ("sightStep", "4")).Observation);
        Assert.Equal(new TroublePart(TroubleStep.Opened, "green water"), Read(NoteKind.Trouble, ("troubleStep", "opened"), ("troubleName", "green water"), ("troubleOf", "n3")).Trouble);
        Assert.Equal(new TroublePart(TroubleStep.Closed, Of: "n3"), Read(NoteKind.Trouble, ("troubleStep", "closed"), ("troubleOf", "n3")).Trouble);
    }

    [Theory]
    [InlineData(NoteKind.WaterChange, "litres", "5,5")]
    [InlineData(NoteKind.WaterChange, "litres", "many")]
    [InlineData(NoteKind.Dose, "amount", "NaN")]
    [InlineData(NoteKind.Dose, "amount", "1e999")]
    [InlineData(NoteKind.Test, "value", "x")]
    [InlineData(NoteKind.Feed, "at", "yesterday")]
    [InlineData(NoteKind.Feed, "at", "0001-01-01T00:00")]
    [InlineData(NoteKind.Feed, "at", "2026-10-25T02:30")] // clocks were put back: it came twice
    public void What_can_not_be_read_is_refused_by_its_field(NoteKind kind, string field, string value)
    {
        var typed = Typed((field, value), ("by", "Ann"));
        NoteEntry.Read(typed, kind, null, Berlin, Now);
        var refused = Assert.Single(typed.Refused);
        Assert.Equal((field, value), (refused.Field, refused.Value));
        Assert.NotEmpty(refused.Allowed);
    }

    /// <summary>Every rule of the book that a form can break is told by a field that the form has.</summary>
    [Fact]
    public void What_the_book_refuses_stands_by_a_field_of_the_form()
    {
        (NoteKind Kind, (string, string)[] Typed, string Field)[] wrong =
        [
            (NoteKind.WaterChange, [("litres", "-1"), ("by", "Ann")], "litres"), (NoteKind.Dose, [("amount", "0"), ("unit", "mL"), ("by", "Ann")], "amount"),
            (NoteKind.Dose, [("amount", "1"), ("unit", "barrels"), ("by", "Ann")], "unit"), (NoteKind.Other, [("text", "x")], "by"), (NoteKind.Other, [("by", "Ann")], "text"),
            (NoteKind.Test, [("of", "NO3"), ("value", "2000"), ("step", "5"), ("by", "Ann")], "value"), (NoteKind.Test, [("of", "NO3"), ("value", "20"), ("by", "Ann")], "step"),
            (NoteKind.Observation, [("sight", "behaviour"), ("sightStep", "9"), ("by", "Ann")], "sightStep"), (NoteKind.Trouble, [("troubleStep", "opened"), ("by", "Ann")], "troubleName"),
            (NoteKind.Trouble, [("troubleStep", "closed"), ("troubleOf", "n9"), ("by", "Ann")], "troubleOf"), (NoteKind.Other, [("text", "x"), ("by", "Ann"), ("at", "2027-01-01T00:00")], "at"),
        ];
        foreach (var (kind, fields, field) in wrong)
        {
            var typed = Typed(fields);
            foreach (var problem in NoteRules.Problems(NoteEntry.Read(typed, kind, null, Berlin, Now), Book.Of([]), Now)) typed.Refuse(problem, KindFields.Field);
            Assert.Contains(typed.Refused, refused => refused.Field == field);
        }
    }

    /// <summary>The note waits in memory and names its photograph: it had been deleted, and the note stood there without it once the disk was free.</summary>
    [Fact]
    public void The_photograph_of_a_note_that_waits_for_the_disk_is_kept()
    {
        Assert.False(JournalRoutes.IsRefused(new Written(false, "The note waits in memory.", null, [])));
        Assert.False(JournalRoutes.IsRefused(new Written(true, "Written as n1.", "n1", [])));
        Assert.True(JournalRoutes.IsRefused(new Written(false, "Not written.", null, [new("text", "", "1 character", "Say it.")])));
        Assert.True(JournalRoutes.IsRefused(null));
    }

    [Fact]
    public void A_correction_that_leaves_the_time_alone_keeps_it_to_the_second()
    {
        var former = new Note { Id = "n3", Kind = NoteKind.Feed, By = "Ann", Text = "peas", At = Now.AddSeconds(-47), WrittenAt = Now, Photographs = [new('a', 64)] };
        var shown = NoteEntry.Shown(former.At!.Value, Berlin);
        Assert.Equal(former.At, NoteEntry.Read(Typed(("at", shown), ("text", "flakes")), NoteKind.Feed, former, Berlin, Now).At);
        var moved = NoteEntry.Read(Typed(("at", "2026-11-28T08:00"), ("text", "flakes")), NoteKind.Feed, former, Berlin, Now);
        Assert.Equal(new DateTimeOffset(2026, 11, 28, 7, 0, 0, TimeSpan.Zero), moved.At!.Value.ToUniversalTime());
        Assert.Equal(("n3", former.Photographs), (moved.Corrects, moved.Photographs));
        Assert.Empty(NoteEntry.Read(Typed(("keep", "0"), ("text", "flakes")), NoteKind.Feed, former, Berlin, Now).Photographs!);
    }

    [Fact]
    public void The_book_is_looked_through_by_kind_day_and_words_newest_first()
    {
        var book = Book.Of(
        [
            Of("n1", NoteKind.Feed, "peas", -50), Of("n2", NoteKind.Dose, "IRON", -26), Of("n3", NoteKind.Feed, "flakes", -2), Of("n4", NoteKind.Feed, "by mistake", -1),
            new() { Id = "n5", Kind = NoteKind.Feed, By = "Ann", Corrects = "n4", Withdrawn = true, WrittenAt = Now },
        ]);
        Assert.Equal(["n3", "n2", "n1"], Found());
        Assert.Equal(["n4", "n3", "n2", "n1"], Found(("all", "1")));
        Assert.Equal(["n3", "n1"], Found(("kind", "feed")));
        Assert.Equal(["n2"], Found(("words", "iron")));
        Assert.Equal(["n2"], Found(("from", "2026-11-27"), ("to", "2026-11-27"))); // the last day is in it: n2 was at 21:30 of the 27th
        Assert.Empty(Found(("words", "nothing like it")));
        foreach (var (field, value) in new[] { ("kind", "dance"), ("from", "yesterday"), ("from", "0001-01-01"), ("to", "9999-12-31"), ("page", "0"), ("to", "2026-13-01"), ("words", new string('x', 81)) })
        {
            var typed = Typed((field, value));
            JournalFind.Read(typed, Berlin);
            Assert.Equal(field, Assert.Single(typed.Refused).Field);
        }

        IEnumerable<string> Found(params (string, string)[] asked) => JournalFind.Read(Typed(asked), Berlin).In(book).Select(matter => matter.Said.Id);
        static Note Of(string id, NoteKind kind, string text, double hours) => new() { Id = id, Kind = kind, By = "Ann", Text = text, At = Now.AddHours(hours), WrittenAt = Now };
    }

    /// <summary>25 October 2026 in Berlin has 25 hours, 29 March has 23 (EU Directive 2000/84/EC: the last Sundays, 01:00 UTC).</summary>
    [Theory]
    [InlineData("2026-10-25", "2026-10-25T23:30+01:00", true)]
    [InlineData("2026-10-25", "2026-10-26T00:00+01:00", false)]
    [InlineData("2026-03-29", "2026-03-29T23:30+02:00", true)]
    [InlineData("2026-03-29", "2026-03-30T00:30+02:00", false)]
    public void A_day_ends_at_midnight_also_when_the_clocks_are_changed(string day, string at, bool isIn)
    {
        var book = Book.Of([new() { Id = "n1", Kind = NoteKind.Feed, By = "Ann", Text = "peas", At = DateTimeOffset.Parse(at, System.Globalization.CultureInfo.InvariantCulture), WrittenAt = Now }]);
        var find = JournalFind.Read(Typed(("from", day), ("to", day)), Berlin);
        Assert.Equal(isIn ? 1 : 0, find.In(book).Count);
        Assert.Equal($"?from={day}&to={day}&page=2", find.Query(2, Berlin)); // what the other pages are asked by, and what the form shows again
    }

    [Fact]
    public void An_arrival_and_how_it_fared_are_read_and_refused_by_field()
    {
        var came = ArrivalEntry.Arrival(Typed(("species", "rice fish"), ("count", "6"), ("group", "freshwaterFish"), ("conductivity", "410"), ("temperature", "19.5"), ("ph", "6.8"), ("hours", "20"), ("grams", "3"), ("ammonia", "3"), ("nitrite", "0"), ("by", "Ann")), null, Berlin, Now);
        Assert.Equal(
            new ArrivalRecord { Species = "rice fish", Count = 6, Grams = 3, Group = Core.Stations.AnimalGroup.FreshwaterFish, HoursInTransit = 20, MicrosiemensPerCm = 410, Celsius = 19.5, Ph = 6.8, TotalAmmoniaMilligramsPerLitre = 3, NitriteMilligramsPerLitre = 0 },
            came.Arrival);
        var typed = Typed(("count", "2.5"), ("group", "birds"), ("conductivity", "300000"), ("temperature", "60"), ("ph", "12"), ("hours", "-1"), ("grams", "0"), ("ammonia", "900"), ("nitrite", "900"));
        var wrong = ArrivalEntry.Arrival(typed, null, Berlin, Now);
        foreach (var problem in NoteRules.Problems(wrong, Book.Of([]), Now)) typed.Refuse(problem, ArrivalEntry.Field);
        Assert.Equal(["ammonia", "by", "conductivity", "count", "grams", "group", "hours", "nitrite", "ph", "species", "temperature"], typed.Refused.Select(refused => refused.Field).Order(StringComparer.Ordinal));
        var book = Book.Of([came with { Id = "n1", At = Now, WrittenAt = Now }]);
        Assert.Equal(new OutcomeRecord { Arrival = "n1", Look = Look.Day, Alive = 5, Dead = 1 }, ArrivalEntry.Outcome(Typed(("of", "n1"), ("look", "24h"), ("alive", "5"), ("dead", "1"), ("by", "Ann")), null, Berlin, Now).Outcome);
        var (many, early) = (Typed(("of", "n1"), ("look", "release"), ("alive", "5"), ("dead", "2"), ("by", "Ann")), Typed(("of", "n1"), ("look", "24h"), ("alive", "5"), ("by", "Ann"))); // early: not let in yet
        foreach (var (form, field) in new[] { (many, "dead"), (early, "look") })
        {
            foreach (var problem in NoteRules.Problems(ArrivalEntry.Outcome(form, null, Berlin, Now), book, Now)) form.Refuse(problem, ArrivalEntry.Field);
            Assert.Equal(field, Assert.Single(form.Refused).Field);
        }
    }

    private static Note Read(NoteKind kind, params (string, string)[] fields)
    {
        var typed = Typed(fields);
        var note = NoteEntry.Read(typed, kind, null, Berlin, Now);
        Assert.Empty(typed.Refused);
        return note;
    }

    private static TypedForm Typed(params (string Name, string Value)[] fields) => new(fields.ToDictionary(field => field.Name, field => field.Value));
}
