using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Standing;

public class SeenByHandNoteTests
{
    private static readonly DateTimeOffset Noon = new(2026, 3, 14, 12, 0, 0, TimeSpan.Zero);
    private static readonly ManualTest Nitrate = new() { Of = Substance.Nitrate, Value = 20, Step = 5 };

    private static Note Of(NoteKind kind) => new() { Kind = kind, By = "Ann", At = Noon };

    private static Note Trouble(TroubleStep step, string? name = null, string? of = null) => Of(NoteKind.Trouble) with { Trouble = new(step, name, of) };

    private static readonly Book Written = Book.Of(
    [
        Trouble(TroubleStep.Opened, "green water") with { Id = "n1" }, Trouble(TroubleStep.Closed, of: "n1") with { Id = "n2" },
        Trouble(TroubleStep.Opened, "snails hide") with { Id = "n3" }, Of(NoteKind.Feed) with { Id = "n4", Text = "flakes" },
        Trouble(TroubleStep.Opened, "a mistake") with { Id = "n5" }, Trouble(TroubleStep.Opened, "a mistake") with { Id = "n6", Corrects = "n5", Withdrawn = true },
    ]);

    private static string[] Wrong(Note note) => [.. NoteRules.Problems(note, Written, Noon).Select(problem => $"{problem.Key}: {problem.Value}. Allowed: {problem.Allowed}")];

    [Fact]
    public void What_is_in_order_may_be_written_and_needs_no_text()
    {
        Assert.Empty(Wrong(Of(NoteKind.Test) with { Test = Nitrate }));
        Assert.Empty(Wrong(Of(NoteKind.Observation) with { Observation = new(Sight.Behaviour, 5) }));
        Assert.Empty(Wrong(Trouble(TroubleStep.Opened, "green water")));
        Assert.Empty(Wrong(Trouble(TroubleStep.Tried, of: "n3")));
        Assert.Empty(Wrong(Trouble(TroubleStep.Closed, of: "n3")));
        Assert.Empty(Wrong(Trouble(TroubleStep.Tried, of: "n1"))); // noted late
        Assert.Empty(Wrong(Trouble(TroubleStep.Closed, of: "n1") with { Corrects = "n2", Text = "it was the lamp" }));
        Assert.Empty(Wrong(Of(NoteKind.Trouble) with { Text = "in words alone" }));
    }

    [Fact]
    public void A_part_stands_only_in_a_note_of_its_kind()
    {
        Assert.Equal(["test: \"given\". Allowed: with a note of kind test alone"], Wrong(Of(NoteKind.Feed) with { Test = Nitrate }));
        Assert.Equal(["observation: \"given\". Allowed: with a note of kind observation alone"], Wrong(Of(NoteKind.Test) with { Test = Nitrate, Observation = new(Sight.Behaviour, 5) }));
        Assert.Equal(["trouble: \"given\". Allowed: with a note of kind trouble alone"], Wrong(Trouble(TroubleStep.Tried, of: "n3") with { Kind = NoteKind.Other }));
    }

    [Fact]
    public void What_it_says_is_checked_by_its_own_rules()
    {
        Assert.Equal(["test.NO3: -3. Allowed: 0 to 1000 mg/L"], Wrong(Of(NoteKind.Test) with { Test = Nitrate with { Value = -3 } }));
        Assert.Equal(["observation.behaviour: 6. Allowed: 1 to 5 (a whole number)"], Wrong(Of(NoteKind.Observation) with { Observation = new(Sight.Behaviour, 6) }));
    }

    [Fact]
    public void A_step_belongs_to_a_trouble_that_stands_and_is_closed_once()
    {
        Assert.Equal(["trouble.name: \" \". Allowed: 1 to 60 plain characters"], Wrong(Trouble(TroubleStep.Opened, " ")));
        Assert.Equal(["trouble.name: not given. Allowed: 1 to 60 plain characters"], Wrong(Trouble(TroubleStep.Opened)));
        Assert.Equal(["trouble.of: \"n3\". Allowed: none when it is opened"], Wrong(Trouble(TroubleStep.Opened, "x", "n3")));
        Assert.Equal(["trouble.name: \"x\". Allowed: none with a step of a trouble that is open"], Wrong(Trouble(TroubleStep.Tried, "x", "n3")));
        foreach (var none in new[] { "n4", "n6", "n99", null }) Assert.Equal([$"trouble.of: {(none is null ? "not given" : $"\"{none}\"")}. Allowed: the note that opened a trouble"], Wrong(Trouble(TroubleStep.Tried, of: none)));
        Assert.Equal(["trouble.of: \"n1\". Allowed: a trouble that is open"], Wrong(Trouble(TroubleStep.Closed, of: "n1")));
        Assert.Equal(
            ["at: \"2026-03-14 11:59:00 +00:00\". Allowed: not before it was opened, 2026-03-14 12:00:00 +00:00"],
            Wrong(Trouble(TroubleStep.Closed, of: "n3") with { At = Noon.AddMinutes(-1) }));
    }
}
