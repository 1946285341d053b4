using Evenwater.Core.Keeping;

namespace Evenwater.CoreTests.Keeping;

public class BookTests
{
    private static readonly DateTimeOffset Noon = new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero);

    [Fact]
    public void A_correction_stands_in_place_of_what_it_corrects_and_both_are_kept()
    {
        var book = Book.Of([Change("n1", 20), Change("n2", 5, hour: -2), Change("n3", 24) with { Corrects = "n1" }]);
        Assert.Equal(["n2", "n3"], book.Standing.Select(note => note.Id));
        Assert.Equal(["n1", "n3"], book.Find("n1")!.Notes.Select(note => note.Id));
        Assert.Same(book.Find("n1"), book.Find("n3"));
        Assert.Equal([20.0, 24.0], book.Find("n3")!.Notes.Select(note => note.Litres));
    }

    [Fact]
    public void What_is_taken_back_no_longer_stands_and_a_correction_of_that_puts_it_back()
    {
        Note[] notes = [Change("n1", 20), Change("n2", 24) with { Corrects = "n1" }, Back("n3", "n2")];
        var book = Book.Of(notes);
        Assert.Empty(book.Standing);
        Assert.Equal(24, Assert.Single(book.Matters).Said.Litres);
        var again = Book.Of([.. notes, Change("n4", 24) with { Corrects = "n3" }]);
        Assert.Equal("n4", Assert.Single(again.Standing).Id);
        Assert.Equal(4, Assert.Single(again.Matters).Notes.Count);
    }

    [Fact]
    public void A_correction_of_a_note_that_is_not_there_stands_by_itself() =>
        Assert.Equal("n9", Assert.Single(Book.Of([Change("n9", 3) with { Corrects = "n1" }]).Standing).Id);

    [Fact]
    public void Names_go_on_after_the_highest_and_none_is_given_twice()
    {
        Assert.Equal("n1", Book.Of([]).NextId);
        Assert.Equal("n11", Book.Of([Change("n10", 3), Change("n2", 3), Change("odd", 3), Back("n3", "n2")]).NextId);
    }

    [Fact]
    public void A_note_without_a_date_comes_last()
        => Assert.Equal(["n2", "n1"], Book.Of([Change("n1", 1) with { At = null }, Change("n2", 2)]).Standing.Select(note => note.Id));

    private static Note Change(string id, double litres, int hour = 0) =>
        new() { Id = id, Kind = NoteKind.WaterChange, At = Noon.AddHours(hour), WrittenAt = Noon, By = "Ann", Litres = litres };

    private static Note Back(string id, string former) => new() { Id = id, Kind = NoteKind.WaterChange, By = "Ann", Corrects = former, Withdrawn = true };
}
