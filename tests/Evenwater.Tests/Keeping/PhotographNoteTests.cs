using Evenwater.Core.Keeping;
using Evenwater.Keeping;

namespace Evenwater.Tests.Keeping;

/// <summary>What notes say of photographs.</summary>
public class PhotographNoteTests
{
    private static readonly DateTimeOffset Evening = new(2026, 3, 14, 20, 0, 0, TimeSpan.Zero);
    private static readonly (string A, string B) Names = (new('a', 64), new('b', 64));
    private static readonly Note Seen = new() { Kind = NoteKind.Other, By = "Ann", Photographs = [Names.A] };

    [Fact]
    public void A_photograph_alone_is_a_note_and_only_one_that_is_kept_may_be_named()
    {
        var book = Book.Of([]);
        Assert.Empty(NoteRules.Problems(Seen, book, Evening, name => name == Names.A));
        foreach (var wrong in new IReadOnlyList<string>[] { [Names.B], [Names.A, Names.A], ["../x"], [new string('A', 64)] })
        {
            Assert.Contains(NoteRules.Problems(Seen with { Photographs = wrong }, book, Evening, name => name == Names.A), problem => problem.Key == "photographs");
        }

        string[] five = [.. Enumerable.Range(0, 5).Select(i => new string((char)('a' + i), 64))];
        Assert.Equal("5", Assert.Single(NoteRules.Problems(Seen with { Photographs = five }, book, Evening, _ => true)).Value);
    }

    [Fact]
    public void A_correction_keeps_them_unless_it_says_otherwise_and_may_name_one_whose_file_is_gone()
    {
        var book = Book.Of([Seen with { Id = "n1", At = Evening, WrittenAt = Evening }]);
        var text = Seen with { Corrects = "n1", Text = "more", Photographs = null };
        Assert.Equal([Names.A], Of(text).Note!.Photographs);
        Assert.Equal([Names.A], Of(text with { Photographs = [Names.A] }).Note!.Photographs);
        Assert.Null(Of(text with { Photographs = [] }).Note!.Photographs);
        Assert.Equal("photographs", Assert.Single(Of(text with { Photographs = [Names.B] }).Problems).Key);
        Assert.Null(Of(new Note { Kind = NoteKind.Other, By = "Ann", Corrects = "n1", Withdrawn = true }).Note!.Photographs);

        Draft Of(Note wanted) => Draft.Of(wanted, book, "sim-river", Evening.AddHours(1), _ => false);
    }

    [Fact]
    public void The_same_note_with_the_same_photograph_is_written_once_and_with_another_twice()
    {
        var book = Book.Of([Seen with { Id = "n1", At = Evening, WrittenAt = Evening }]);
        Assert.Null(Draft.Of(Seen with { Photographs = [.. Seen.Photographs!] }, book, "sim-river", Evening.AddSeconds(5)).Note);
        Assert.NotNull(Draft.Of(Seen with { Photographs = [Names.B] }, book, "sim-river", Evening.AddSeconds(5)).Note);
    }
}
