using Evenwater.Core.Keeping;
using Evenwater.Core.Review.Comparing;

namespace Evenwater.CoreTests.Review.Comparing;

public class DidSentenceTests
{
    private static readonly CompareSpans Spans = new(Made.Start.AddDays(20).AddHours(9));
    private static readonly Note Moved = new() { Id = "n4", Kind = NoteKind.Move, At = Spans.At, Text = "outlet to the left" };

    private static string Told(double celsius, params Else[] others)
    {
        var made = new Made(3);
        double[] noise = made.Remembering(96 * 30, 0.974);
        Quarters[] tank = [Made.Quarters(Channel.TankTemperature, 30, i => 25 + (0.1 * noise[i]) + (Made.Start.AddMinutes(15 * i) >= Spans.At ? celsius : 0))];
        return string.Join('\n', DidSentence.Of(DidAnswer.Of(Moved, Spans, tank, [Moved], [Of(Moved), .. others], TimeZoneInfo.Utc)));
    }

    private static Else Of(Note note) => new(ElseKind.Note, note.At!.Value, note.At.Value, $"{NoteKinds.Name(note.Kind)} ({note.Id})") { Note = note };

    [Fact]
    public void A_change_with_nothing_beside_it_is_what_is_left_and_no_proof()
    {
        var text = Told(-0.8);
        Assert.Contains("The temperature was 0.8", text, StringComparison.Ordinal);
        Assert.Contains("°C lower (0.", text, StringComparison.Ordinal);
        Assert.Contains("so the move (n4) is what is left", text, StringComparison.Ordinal);
        Assert.Contains("not always what comes of it", text, StringComparison.Ordinal);
        Assert.DoesNotContain("credited", text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_change_with_another_beside_it_is_credited_to_neither()
    {
        var dosed = new Note { Id = "n5", Kind = NoteKind.Dose, At = Spans.At.AddHours(30) };
        var text = Told(-0.8, Of(dosed));
        Assert.Contains("None of this can be credited to the move (n4) alone: dose (n5) 1.3 days after lies nearer than can be told apart.", text, StringComparison.Ordinal);
        Assert.DoesNotContain("what is left", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Where_nothing_differs_another_change_beside_it_may_hide_it()
    {
        var text = Told(0, Of(new Note { Id = "n5", Kind = NoteKind.Dose, At = Spans.At.AddHours(30) }));
        Assert.Contains("And the move (n4) was not alone: dose (n5) 1.3 days after lies nearer than can be told apart, so that one may hide what the other did.", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Where_nothing_differs_nothing_is_said_to_be_credited_though_something_else_lies_within()
    {
        var changed = Of(new Note { Id = "n6", Kind = NoteKind.WaterChange, At = Spans.At.AddDays(5.7) });
        Assert.Contains("And the move (n4) was not alone: water-change (n6) 5.7 days after also lies within the spans, so that one may hide what the other did.", Told(0, changed), StringComparison.Ordinal);
        Assert.Contains("None of this can be credited to the move (n4) alone: water-change (n6) 5.7 days after also lies within the spans.", Told(-0.8, changed), StringComparison.Ordinal);
    }

    [Fact]
    public void What_changed_nothing_is_said_to_have_changed_nothing()
    {
        var text = Told(0);
        Assert.Contains("As far as was read it changed nothing: temperature as before", text, StringComparison.Ordinal);
        Assert.DoesNotContain("what is left", text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_moved_as_on_other_days_is_not_said_not_to_have_moved()
    {
        Compared Level(Channel channel, double after, Verdict verdict) => new(channel, Figure.Level, new(0, 0.1, 9), new(after, 0.1, 9), verdict, new OtherDays(20, 2, 3));
        Side Side(Channel channel) => new(channel, 7, [], [], [], 0);
        ChannelCompared Of(Channel channel, double after, Verdict verdict) => new(Side(channel), Side(channel), [Level(channel, after, verdict)], [], null);
        string[] told = [.. DidSentence.Of(new(null, Spans, [Of(Channel.TankConductivity, 2, Verdict.AsOnOtherDays), Of(Channel.TankTemperature, 0, Verdict.AsBefore)], [], WhatElse.Of(Spans, [])))];
        Assert.Equal("No change that can be laid at its door: temperature as before, within what matters.", told[0]);
        Assert.StartsWith("The conductivity was 2.02 % higher", told[1], StringComparison.Ordinal); // e^0.02
    }

    /// <summary>The tank was read before and after both spans, and not in them.</summary>
    [Fact]
    public void Spans_in_which_nothing_was_read_leave_nothing_open()
    {
        Quarters[] tank = [Made.Quarters(Channel.TankTemperature, 30, i => 25)];
        string[] told = [.. DidSentence.Of(DidAnswer.Of(Moved, Spans with { At = Made.Start.AddDays(60) }, tank, [Moved], [], TimeZoneInfo.Utc))];
        Assert.Equal("Can't tell: of temperature too little was read in the spans.", told[0]);
    }

    [Fact]
    public void Where_nothing_was_read_nothing_is_told() =>
        Assert.Equal("Can't tell: nothing was read in this tank in or near both spans.", Assert.Single(DidSentence.Of(DidAnswer.Of(null, Spans, [], [], [], TimeZoneInfo.Utc))));

    [Theory] // ln 2 is 100 % more; in per cent of a logarithm 5 is 5.13 %
    [InlineData(Channel.TankTemperature, Figure.Restlessness, 69.3147, 100)]
    [InlineData(Channel.TankConductivity, Figure.Level, 5, 5.127)]
    [InlineData(Channel.TankTemperature, Figure.Level, 5, 5)]
    public void Logarithms_are_told_as_per_cent(Channel channel, Figure figure, double value, double told) => Assert.Equal(told, DidWords.Told(channel, figure, value), 0.001);

    [Theory]
    [InlineData(-0.0004, "0")]
    [InlineData(-0.0006, "-0.001")]
    [InlineData(0.25, "0.25")]
    [InlineData(24.27, "24.3")]
    public void Nothing_has_no_sign(double value, string said) => Assert.Equal(said, DidWords.Say(value));

    [Fact]
    public void Small_movements_are_more_than_one()
    {
        Side side = new(Channel.TankTemperature, 7, [], [], [], 0);
        Compared trembles = new(Channel.TankTemperature, Figure.Restlessness, new(0, 1, 10), new(70, 1, 10), Verdict.Higher, new(0, 0, 0));
        var text = DidSentence.Of(new(Moved, Spans, [new(side, side, [trembles], null, null)], [], WhatElse.Of(Spans, []))).First();
        Assert.StartsWith("The temperature's small movements were 101 % larger", text, StringComparison.Ordinal); // e^0.7 is 2.01
    }
}
