using Evenwater.Followers;
using Evenwater.Tests.Page;

namespace Evenwater.Tests.Followers;

/// <summary>Many asks: told once, bounded, and never in the way of a close.</summary>
public sealed class AskFloodTests
{
    private readonly SteppedTime _time = new();
    private readonly AskDesk _desk;

    public AskFloodTests() => _desk = Desks.Of("sim-river", Desks.Key, time: _time);

    [Fact]
    public void A_night_of_flooding_leaves_a_few_events_and_every_close_in_it_is_obeyed()
    {
        var (events, answered, closed) = (0, 0, 0);
        for (var i = 0; i < 360_000; i++)
        {
            _time.Pass(0.1);
            var judged = _desk.Judge(Desks.Message(i % 3 == 0 ? "open" : "challenge", i % 2 == 0 ? "x" : """{"verb":"open"}"""));
            Assert.Null(judged.Ask);
            (events, answered) = (events + judged.Events.Count, answered + (judged.Unheard ? 0 : 1));
            if (i % 1000 == 0)
            {
                closed += _desk.Judge(Desks.Message("close", "")).Ask is null ? 0 : 1;
            }
        }

        Assert.Equal(360, closed);
        Assert.InRange(events, 1, AskLimit.Burst + 2);
        Assert.InRange(answered, 1, AskLimit.Burst + 2);
    }

    [Fact]
    public void A_flood_is_told_once_and_once_more_when_it_is_over()
    {
        for (var i = 0; i < AskLimit.Burst; i++)
        {
            Assert.Equal("ask-refused", Assert.Single(_desk.Judge(Desks.Message("open", "")).Events).Name);
        }

        var first = _desk.Judge(Desks.Message("open", ""));
        Assert.Equal((false, "ask-flood"), (first.Unheard, Assert.Single(first.Events).Name));
        for (var i = 0; i < 100; i++)
        {
            _time.Pass(9.9);
            var more = _desk.Judge(Desks.Message("open", ""));
            Assert.True(more.Unheard);
            Assert.Empty(more.Events);
        }

        _time.Pass(10);
        var after = _desk.Judge(Desks.Message("challenge", """{"verb":"open"}"""));
        Assert.NotNull(after.Challenge);
        var over = Assert.Single(after.Events);
        Assert.Equal(("ask-flood", "The flood of asks is over: 101 were dropped unheard."), (over.Name, over.Text));
    }

    [Fact]
    public void A_close_that_is_not_in_order_is_obeyed_in_a_flood_too_and_does_not_fill_the_log()
    {
        var kept = 0;
        for (var i = 0; i < 1000; i++)
        {
            var judged = _desk.Judge(Desks.Message("close", "close!"));
            Assert.NotNull(judged.Ask);
            Assert.False(judged.Unheard);
            kept += judged.Events.Count;
        }

        Assert.Equal(AskLimit.Burst + 1, kept);
    }

    [Fact]
    public void Closes_in_order_take_no_place_from_those_who_ask()
    {
        for (var i = 0; i < 1000; i++)
        {
            var judged = _desk.Judge(Desks.Message("close", "{}"));
            Assert.NotNull(judged.Ask);
            Assert.Empty(judged.Events);
        }

        Assert.NotNull(Desks.Ask(_desk));
    }
}
