using Evenwater.Core.Keeping;
using Evenwater.Core.Review.Comparing;
using Evenwater.Core.Standing;

namespace Evenwater.CoreTests.Review.Comparing;

public class WhatElseTests
{
    private static readonly CompareSpans Spans = new(Made.Start.AddDays(50).AddHours(9));

    private static Else Noted(NoteKind kind, double days, double? litres = null, double? amount = null) => new(ElseKind.Note, Spans.At.AddDays(days), Spans.At.AddDays(days), NoteKinds.Name(kind))
    {
        Note = new Note { Id = $"n{days}", Kind = kind, At = Spans.At.AddDays(days), Litres = litres, Amount = amount },
    };

    [Theory] // seven days before, one to settle, seven after; three days are the least of a side, and what acts before needs a day to settle too
    [InlineData(-3.9, Bearing.Together)]
    [InlineData(-4.2, Bearing.Within)]
    [InlineData(0.0, Bearing.Together)]
    [InlineData(3.9, Bearing.Together)]
    [InlineData(4.2, Bearing.Within)]
    [InlineData(-7.5, Bearing.Near)]
    public void What_lies_too_near_can_not_be_told_apart(double days, Bearing expected)
    {
        var told = WhatElse.Of(Spans, [Noted(NoteKind.Move, days)]);
        Assert.Equal(expected, Assert.Single(told.All).Bearing);
        Assert.Equal(expected == Bearing.Near, told.Alone);
    }

    [Fact]
    public void What_lies_outside_is_not_told() => Assert.Empty(WhatElse.Of(Spans, [Noted(NoteKind.Move, -8.1), Noted(NoteKind.Move, 8.1)]).All);

    [Fact] // from the water change at -5 with its day to settle 4 whole days; to the dose at +4.5 from the end of settling at +1: 3
    public void Shorter_spans_are_named_where_they_leave_everything_out()
    {
        var told = WhatElse.Of(Spans, [Noted(NoteKind.WaterChange, -5), Noted(NoteKind.Dose, 4.5)]);
        Assert.Equal((4, 3), (told.Shorter!.Value.BeforeDays, told.Shorter.Value.AfterDays));
        Assert.True(WhatElse.Of(told.Shorter.Value, [Noted(NoteKind.WaterChange, -5), Noted(NoteKind.Dose, 4.5)]).Alone);
        Assert.Null(WhatElse.Of(Spans, [Noted(NoteKind.WaterChange, -5), Noted(NoteKind.Dose, 2)]).Shorter);
    }

    [Fact]
    public void Three_changes_in_one_week_are_never_credited_to_one()
    {
        Else[] three = [Noted(NoteKind.Move, 0), Noted(NoteKind.LightChange, 1.4), Noted(NoteKind.Dose, -1.4)];
        foreach (var one in three)
        {
            var spans = Spans with { At = one.At };
            var told = WhatElse.Of(spans, three.Where(other => other != one));
            Assert.False(told.Alone);
            Assert.Equal(2, told.Together.Count());
            Assert.Null(told.Shorter);
        }
    }

    [Fact]
    public void Food_every_day_is_as_usual_and_twice_as_much_of_it_is_not()
    {
        Else[] Fed(double after) => [.. Enumerable.Range(-7, 15).Select(day => Noted(NoteKind.Feed, day + 0.1, amount: day < 0 ? 1 : after))];
        Assert.True(WhatElse.Of(Spans, Fed(1)).Alone);
        Assert.False(WhatElse.Of(Spans, Fed(2)).Alone);
    }

    [Fact]
    public void A_water_change_each_week_is_as_usual_when_both_lie_far_enough_off_and_bring_as_much()
    {
        Assert.True(WhatElse.Of(Spans, [Noted(NoteKind.WaterChange, -4.5, 20), Noted(NoteKind.WaterChange, 4.5, 20)]).Alone);
        Assert.False(WhatElse.Of(Spans, [Noted(NoteKind.WaterChange, -4.5, 20), Noted(NoteKind.WaterChange, 4.5, 40)]).Alone);
        Assert.False(WhatElse.Of(Spans, [Noted(NoteKind.WaterChange, -6.5, 20), Noted(NoteKind.WaterChange, 0.5, 20)]).Alone);
    }

    [Theory] // seven days before, eight from the change to the end; a quarter is let pass
    [InlineData(20, 26, true)] // 6 of 26
    [InlineData(26, 20, true)]
    [InlineData(20, 27, false)] // 7 of 27
    [InlineData(27, 20, false)]
    public void As_much_is_within_a_quarter(double before, double after, bool usual) =>
        Assert.Equal(usual, WhatElse.Of(Spans, [Noted(NoteKind.WaterChange, -4.5, before), Noted(NoteKind.WaterChange, 4.5, after)]).Alone);

    [Fact] // near the change lies all that comes every second or third day: of what is dosed that matters, of what is only filled up it does not
    public void What_comes_every_day_or_is_only_filled_up_may_lie_near()
    {
        Else[] Each(NoteKind kind, double days, int from = -6) => [.. Enumerable.Range(0, 15).Select(i => from + (i * days)).Where(day => day < 8).Select(day => Noted(kind, day, kind == NoteKind.TopOff ? 1 : null, kind == NoteKind.Dose ? 5 : null))];
        Assert.True(WhatElse.Of(Spans, Each(NoteKind.Dose, 1)).Alone);
        Assert.False(WhatElse.Of(Spans, Each(NoteKind.Dose, 3)).Alone);
        Assert.True(WhatElse.Of(Spans, Each(NoteKind.TopOff, 3)).Alone);
        Assert.False(WhatElse.Of(Spans, Each(NoteKind.Dose, 1, from: 1)).Alone); // begun with the change
        Assert.False(WhatElse.Of(Spans, [.. Each(NoteKind.Dose, 1).Where(one => one.At < Spans.At)]).Alone); // ended with it
        Assert.False(WhatElse.Of(Spans, [.. Each(NoteKind.Dose, 1).Where(one => one.At < Spans.At || one.At > Spans.At.AddDays(3))]).Alone); // five in eight days, not six in seven
        Assert.False(WhatElse.Of(Spans, Each(NoteKind.Move, 1)).Alone); // no routine
    }

    [Fact]
    public void What_lies_nearest_is_told_first_and_what_lasts_over_the_change_lies_at_it()
    {
        var told = WhatElse.Of(Spans, [Noted(NoteKind.Move, -2), Noted(NoteKind.Move, 3), new Else(ElseKind.Cut, Spans.At.AddHours(-5), Spans.At.AddHours(4), "nothing was read"), Noted(NoteKind.Move, 1)]);
        Assert.Equal([0, 1, -2, 3], told.Together.Select(one => one.Days));
        Assert.Equal([-2, 0, 1, 3], told.All.Select(one => one.Days).Order());
        Assert.Equal(-1.5, Assert.Single(WhatElse.Of(Spans, [new Else(ElseKind.Cut, Spans.At.AddDays(-2), Spans.At.AddDays(-1.5), "nothing was read")]).All).Days);
    }

    [Fact]
    public void Looking_and_testing_move_nothing_and_an_alarm_only_tells()
    {
        var told = WhatElse.Of(Spans, [Noted(NoteKind.Observation, 1), Noted(NoteKind.Test, 1), new Else(ElseKind.Alarm, Spans.At, Spans.At, "tank-conductivity")]);
        Assert.True(told.Alone);
        Assert.All(told.All, one => Assert.Equal(Bearing.Told, one.Bearing));
        Assert.False(WhatElse.Of(Spans, [new Else(ElseKind.Cut, Spans.At.AddHours(5), Spans.At.AddHours(9), "nothing was read")]).Alone);
    }

    private static Note Nitrate(double days, double value, double step = 5, bool below = false) =>
        new() { Kind = NoteKind.Test, At = Spans.At.AddDays(days), Test = new ManualTest { Of = Substance.Nitrate, Value = value, Step = step, Below = below } };

    [Fact] // by hand: 40 less 15, the least of nine differences, less half a step of 5 for each of the two readings
    public void Tests_by_hand_tell_from_three_on_each_side()
    {
        Note[] six = [Nitrate(-6, 10), Nitrate(-4, 10), Nitrate(-2, 15), Nitrate(2, 40), Nitrate(4, 40), Nitrate(6, 50)];
        var told = Assert.Single(ByHand.Of(Spans, six));
        Assert.True(told.Changed);
        Assert.Equal(30, told.Shift!.Value.Shift);
        Assert.Equal(25 - 2.5 - 2.5, told.Shift.Value.Low);
        var few = Assert.Single(ByHand.Of(Spans, [six[0], six[5]]));
        Assert.False(few.Changed);
        Assert.Null(few.Shift);
    }

    [Fact] // 12.4 and 12.6 mg/L read as 10 and 15: higher, by next to nothing or by nearly two steps
    public void A_difference_read_by_hand_is_known_no_better_than_by_half_a_step_of_each_reading()
    {
        var told = Assert.Single(ByHand.Of(Spans, [Nitrate(-6, 10), Nitrate(-4, 10), Nitrate(-2, 10), Nitrate(2, 15), Nitrate(4, 15), Nitrate(6, 15)]));
        Assert.True(told.Changed);
        Assert.Equal((0, 10), (told.Shift!.Value.Low, told.Shift.Value.High));
    }

    [Fact] // written down in any order, and looked at as well: 1 of 20 ways to divide six into three and three is as far apart, or 1 of 10 both ways
    public void Less_is_a_change_as_more_is_and_what_overlaps_is_none()
    {
        Note[] fell = [Nitrate(6, 10), Nitrate(-2, 40), Nitrate(2, 15), Nitrate(-6, 50), Nitrate(4, 10), Nitrate(-4, 40), Nitrate(9, 80)];
        var told = Assert.Single(ByHand.Of(Spans, fell));
        Assert.Equal([50, 40, 40], told.Before);
        Assert.Equal([15, 10, 10], told.After); // the ninth day is beyond the spans
        Assert.True(told.Changed);
        Assert.Equal((-30, -25 + 5), (told.Shift!.Value.Shift, told.Shift.Value.High));
        Assert.False(Assert.Single(ByHand.Of(Spans, [Nitrate(-6, 10), Nitrate(-4, 40), Nitrate(-2, 10), Nitrate(2, 15), Nitrate(4, 40), Nitrate(6, 50)])).Changed);
        Assert.Empty(ByHand.Of(Spans, [Nitrate(-40, 10)]));
    }

    [Fact] // a coarse kit of a month ago that showed nothing is none of the six
    public void Tests_by_hand_before_the_spans_are_neither_counted_nor_a_doubt()
    {
        Note[] all = [Nitrate(-40, 50, step: 50, below: true), Nitrate(-6, 10), Nitrate(-4, 10, below: true), Nitrate(-2, 15), Nitrate(2, 40), Nitrate(4, 40), Nitrate(6, 50)];
        var told = Assert.Single(ByHand.Of(Spans, all));
        Assert.Equal((1, 20), (told.Below, told.Shift!.Value.Low));
    }
}
