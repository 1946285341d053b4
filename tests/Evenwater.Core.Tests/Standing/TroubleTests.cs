using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Standing;

public class TroubleTests
{
    private static readonly DateTimeOffset Start = new(2026, 3, 1, 9, 0, 0, TimeSpan.Zero);

    private static Note Step(string id, int day, TroublePart part, string text = "seen") =>
        new() { Id = id, Kind = NoteKind.Trouble, At = Start.AddDays(day), WrittenAt = Start.AddDays(day), By = "keeper", Text = text, Trouble = part };

    private static readonly Note[] Year =
    [
        Step("n1", 0, new(TroubleStep.Opened, "Green water")),
        Step("n2", 2, new(TroubleStep.Tried, Of: "n1"), "less light"),
        Step("n3", 9, new(TroubleStep.Closed, Of: "n1"), "clear after a week of eight hours"),
        Step("n4", 40, new(TroubleStep.Opened, "snails hide")),
        Step("n5", 100, new(TroubleStep.Opened, "green water ")),
        Step("n6", 101, new(TroubleStep.Tried, Of: "n5"), "less light"),
    ];

    [Fact]
    public void A_trouble_is_opened_tried_at_and_closed()
    {
        var all = Troubles.Of(Book.Of(Year));
        Assert.Equal(["Green water", "snails hide", "green water "], all.Select(trouble => trouble.Name));
        Assert.Equal([false, true, true], all.Select(trouble => trouble.IsOpen));
        Assert.Equal("less light", Assert.Single(all[0].Tried).Text);
        Assert.Equal(TimeSpan.FromDays(9), all[0].Lasted);
        Assert.Null(all[2].Lasted);
    }

    [Fact]
    public void Beside_it_stands_what_helped_the_last_time()
    {
        var all = Troubles.Of(Book.Of(Year));
        Assert.Equal("clear after a week of eight hours", Troubles.Before(all, all[2])!.Closed!.Text);
        Assert.Null(Troubles.Before(all, all[0]));
        Assert.Null(Troubles.Before(all, all[1]));
    }

    [Fact]
    public void A_closing_that_is_taken_back_opens_it_again()
    {
        var back = Step("n7", 10, new(TroubleStep.Closed, Of: "n1")) with { Corrects = "n3", Withdrawn = true };
        Assert.True(Troubles.Of(Book.Of([.. Year, back]))[0].IsOpen);
    }

    [Fact]
    public void An_opening_that_is_corrected_keeps_its_steps_and_one_that_is_taken_back_is_none()
    {
        var corrected = Step("n7", 0, new(TroubleStep.Opened, "Cloudy water")) with { Corrects = "n1" };
        var first = Troubles.Of(Book.Of([.. Year, corrected]))[0];
        Assert.Equal(("Cloudy water", 1, false), (first.Name, first.Tried.Count, first.IsOpen));
        var gone = Step("n7", 0, new(TroubleStep.Opened, "Green water")) with { Corrects = "n1", Withdrawn = true };
        Assert.Equal(["snails hide", "green water "], Troubles.Of(Book.Of([.. Year, gone])).Select(trouble => trouble.Name));
    }
}
