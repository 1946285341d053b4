using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Standing;

public class RoutineTests
{
    private static readonly DateTimeOffset Now = new(2026, 11, 28, 20, 0, 0, TimeSpan.Zero);
    private static readonly RoutineTask Weekly = new() { Kind = Chore.WaterChange, DueEveryDays = 7 };

    private static Note Did(string id, NoteKind kind, double daysAgo, string text = "done") => new() { Id = id, Kind = kind, At = Now.AddDays(-daysAgo), WrittenAt = Now, By = "keeper", Text = text };

    private static RoutineStanding One(RoutineTask task, params Note[] notes) => Assert.Single(Routine.Of([task], Book.Of(notes)));

    [Fact] // by hand: last 9 days ago, weekly: due 2 days ago
    public void What_was_done_last_and_when_it_is_due()
    {
        var standing = One(Weekly, Did("n1", NoteKind.WaterChange, 16), Did("n2", NoteKind.WaterChange, 9), Did("n3", NoteKind.TopOff, 1));
        Assert.Equal((Now.AddDays(-9), Now.AddDays(-2)), (standing.Last, standing.Due));
        Assert.Equal(TimeSpan.FromDays(2), standing.OverdueAt(Now));
        Assert.True(standing.IsOverdueAt(Now));
    }

    [Fact] // a tenth of a week is 16.8 h
    public void An_hour_late_is_due_and_a_day_late_is_overdue()
    {
        var late = One(Weekly, Did("n1", NoteKind.WaterChange, 7 + (1 / 24.0)));
        Assert.Equal((true, false), (late.IsDueAt(Now), late.IsOverdueAt(Now)));
        Assert.True(One(Weekly, Did("n1", NoteKind.WaterChange, 8)).IsOverdueAt(Now));
        Assert.False(One(Weekly, Did("n1", NoteKind.WaterChange, 6)).IsDueAt(Now));
    }

    [Theory] // a tenth of a month is three days; of a day it would be 2.4 h, and half a day is let pass
    [InlineData(30, 32.9, false)]
    [InlineData(30, 33.1, true)]
    [InlineData(1, 1.49, false)]
    [InlineData(1, 1.51, true)]
    public void A_tenth_of_its_time_and_half_a_day_at_least_is_let_pass(double every, double daysAgo, bool overdue) =>
        Assert.Equal(overdue, One(Weekly with { DueEveryDays = every }, Did("n1", NoteKind.WaterChange, daysAgo)).IsOverdueAt(Now));

    [Fact]
    public void A_note_without_a_date_does_not_tell_when_it_was_last_done() =>
        Assert.Equal(Now.AddDays(-3), One(Weekly, Did("n1", NoteKind.WaterChange, 3), Did("n2", NoteKind.WaterChange, 1) with { At = null }).Last);

    [Fact]
    public void What_was_never_done_is_due_and_not_overdue()
    {
        var never = One(Weekly);
        Assert.Equal((true, false, null), (never.IsDueAt(Now), never.IsOverdueAt(Now), never.Last));
    }

    [Fact]
    public void What_was_taken_back_was_not_done()
    {
        var gone = Did("n2", NoteKind.WaterChange, 0) with { Corrects = "n1", Withdrawn = true };
        Assert.Null(One(Weekly, Did("n1", NoteKind.WaterChange, 1), gone).Last);
    }

    [Fact]
    public void Two_doses_are_told_apart_by_a_word()
    {
        var iron = new RoutineTask { Kind = Chore.Dose, DueEveryDays = 1, About = "iron" };
        Assert.Equal(Now.AddDays(-3), One(iron, Did("n1", NoteKind.Dose, 3, "Iron, morning"), Did("n2", NoteKind.Dose, 1, "minerals")).Last);
    }

    [Fact]
    public void Every_chore_is_a_kind_of_note()
    {
        foreach (var chore in Enum.GetValues<Chore>()) Assert.True(Enum.TryParse<NoteKind>(chore.ToString(), out _), chore.ToString());
    }
}
