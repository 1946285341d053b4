using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Running;

namespace Evenwater.Tests.Running;

/// <summary>Who waits for the next turn: bounded, and a close before all.</summary>
public sealed class AskingsTests
{
    private static readonly TimeSpan Soon = TimeSpan.FromSeconds(5);

    private readonly Askings _askings = new();

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_thousand_closes_that_wait_together_are_one_and_go_before_what_waited_longer()
    {
        var reset = new Asking(Verb.Reset, "first");
        _ = _askings.Add(reset);
        var closes = Enumerable.Range(0, 1000).Select(i => _askings.Add(new Asking(Verb.Close, $"{i}"))).ToList();
        var close = _askings.Take()!;
        Assert.Equal((Verb.Close, "0"), (close.Verb, close.By));
        close.Reply(new Answer(true, "closed"));
        Assert.All(await Task.WhenAll(closes), answer => Assert.Equal("closed", answer.Text));
        Assert.Same(reset, _askings.Take());
        Assert.Null(_askings.Take());
    }

    [Fact]
    public async Task A_close_sends_away_what_would_open_before_it_and_beside_it()
    {
        var before = _askings.Add(new Asking(Verb.Begin, "before"));
        _ = _askings.Add(new Asking(Verb.Close, "somebody"));
        var beside = _askings.Add(new Asking(Verb.Begin, "beside"));
        Assert.Contains("somebody asked to close", (await before.WaitAsync(Soon, Stop)).Text, StringComparison.Ordinal);
        Assert.Contains("somebody asked to close", (await beside.WaitAsync(Soon, Stop)).Text, StringComparison.Ordinal);
        Assert.Equal(Verb.Close, _askings.Take()!.Verb);
        Assert.Null(_askings.Take());
        var after = new Asking(Verb.Begin, "after");
        _ = _askings.Add(after);
        Assert.Same(after, _askings.Take());
    }

    [Fact]
    public async Task Beyond_sixteen_all_but_a_close_are_refused()
    {
        for (var i = 0; i < Askings.Most; i++)
        {
            _ = _askings.Add(new Asking(Verb.Acknowledge, "many"));
        }

        Assert.Equal("Refused: 16 commands are already waiting.", (await _askings.Add(new Asking(Verb.Begin, "one more"))).Text);
        _ = _askings.Add(new Asking(Verb.Close, "close"));
        Assert.Equal(Verb.Close, _askings.Take()!.Verb);
    }

    [Fact]
    public void A_restart_is_told_before_a_close_so_that_the_close_finds_the_run()
    {
        _ = _askings.Add(new Asking(Verb.Restarted, "start"));
        _ = _askings.Add(new Asking(Verb.Close, "early"));
        Assert.Equal(Verb.Restarted, _askings.Take()!.Verb);
        Assert.Equal(Verb.Close, _askings.Take()!.Verb);
    }

    [Fact]
    public void A_restart_is_told_before_what_was_asked_before_it_so_that_no_turn_takes_the_valve_for_open()
    {
        _ = _askings.Add(new Asking(Verb.Acknowledge, "early"));
        _ = _askings.Add(new Asking(Verb.Restarted, "start"));
        Assert.Equal(Verb.Restarted, _askings.Take()!.Verb);
        Assert.Equal(Verb.Acknowledge, _askings.Take()!.Verb);
    }

    [Fact]
    public void Closing_what_is_closed_does_not_drive_the_cycle()
    {
        _ = _askings.Add(new Asking(Verb.Close, "again"));
        Assert.Equal((false, true), (_askings.Hurry(mayBeOpen: false), _askings.Hurry(mayBeOpen: true)));
        _ = _askings.Add(new Asking(Verb.Acknowledge, "seen"));
        Assert.True(_askings.Hurry(mayBeOpen: false));
    }

    [Theory] // what comes in the same turn by itself was not seen by anybody
    [InlineData(AlarmStanding.Normal, true)]
    [InlineData(AlarmStanding.Acknowledged, true)]
    [InlineData(AlarmStanding.LatchedAcknowledged, true)]
    [InlineData(AlarmStanding.Unacknowledged, false)]
    [InlineData(null, false)]
    public void Whoever_has_seen_all_is_told_when_there_was_nothing_to_see(AlarmStanding? now, bool seen)
    {
        var effects = default(EffectBuffer);
        if (now is { } standing)
        {
            effects.Add(new Effect(EffectKind.AlarmChanged) { Alarm = AlarmId.DripSlow, Standing = standing });
        }

        var answer = Answers.To(new Asking(Verb.Acknowledge, "keeper"), effects, Phase.Dripping, new StationState(DemoStation.Read()));
        Assert.True(answer.Obeyed);
        Assert.StartsWith(seen ? "Seen." : "No alarm of sim-river waits to be seen.", answer.Text, StringComparison.Ordinal);
    }
}
