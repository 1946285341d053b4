using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;

namespace Evenwater.CoreTests.Alarms;

/// <summary>What a person puts aside: shelved or out of service, with a reason and for how long.</summary>
public class AlarmShelfTests
{
    [Fact]
    public void Why_and_until_when_it_was_put_aside_is_kept()
    {
        var world = new AlarmWorld();
        world.Ask(Verb.Shelve, AlarmId.ProbeTrouble, 600, "cleaning it");
        var until = world.Now.Plus(600);
        world.Ask(Verb.Retire, AlarmId.DripSlow, why: "pump sent in");
        world.Ask(Verb.Acknowledge);
        Assert.Equal(("cleaning it", until), (world.State.AlarmOf(AlarmId.ProbeTrouble).Why, world.State.AlarmOf(AlarmId.ProbeTrouble).ShelvedUntil));
        Assert.Equal("pump sent in", world.State.AlarmOf(AlarmId.DripSlow).Why);
    }

    [Fact]
    public void An_alarm_that_is_put_aside_explains_nothing()
    {
        var world = new AlarmWorld(Phase.Holding) { LogCommits = false };
        Assert.Equal(Refusal.None, world.Ask(Verb.Shelve, AlarmId.LogLost, 3600, "disk on its way"));
        world.Go(120);
        Assert.Equal([AlarmId.DripStopped], world.Calls);
    }

    [Fact]
    public void A_shelved_alarm_calls_nobody_and_calls_by_itself_when_its_time_is_over_and_it_is_still_so()
    {
        var world = new AlarmWorld();
        Assert.Equal(Refusal.None, world.Ask(Verb.Shelve, AlarmId.ProbeTrouble, 600, "cleaning it"));
        world.Probe(good: false);
        world.Go(599);
        Assert.Equal((AlarmStanding.Shelved, 0), (world[AlarmId.ProbeTrouble], world.Calls.Count));
        world.Go(1);
        Assert.Equal((AlarmStanding.Unacknowledged, 1), (world[AlarmId.ProbeTrouble], world.Calls.Count));
    }

    [Fact]
    public void A_shelved_alarm_that_is_gone_when_its_time_is_over_is_normal()
    {
        var world = new AlarmWorld();
        world.Probe(good: false);
        world.Go(70);
        world.Ask(Verb.Shelve, AlarmId.ProbeTrouble, 600, "cleaning it");
        world.Probe(good: true);
        world.Go(600);
        Assert.Equal((AlarmStanding.Normal, 1), (world[AlarmId.ProbeTrouble], world.Calls.Count));
    }

    [Theory]
    [InlineData(AlarmId.HighFloat)]
    [InlineData(AlarmId.Leak)]
    [InlineData(AlarmId.FlowWhileClosed)]
    [InlineData(AlarmId.OverflowForecast)]
    [InlineData(AlarmId.OverflowWarning)]
    public void A_flood_a_leak_and_a_valve_that_did_not_close_are_never_put_aside(AlarmId id)
    {
        var world = new AlarmWorld();
        Assert.Equal(Refusal.NeverSilenced, world.Ask(Verb.Shelve, id, 60, "noise"));
        Assert.Equal(Refusal.NeverSilenced, world.Ask(Verb.Retire, id, why: "noise"));
        Assert.Equal(AlarmStanding.Normal, world[id]);
    }

    [Theory]
    [InlineData((8 * 3600) + 1, "long", Refusal.ShelfTooLong)]
    [InlineData(0, "none", Refusal.ShelfTooLong)]
    [InlineData(-60, "back", Refusal.ShelfTooLong)]
    [InlineData(double.NaN, "nothing", Refusal.ShelfTooLong)]
    [InlineData(3600, "", Refusal.NoReason)]
    [InlineData(3600, "  ", Refusal.NoReason)]
    [InlineData(3600, null, Refusal.NoReason)]
    [InlineData(8 * 3600, "a shift", Refusal.None)]
    public void Shelving_wants_a_reason_and_at_most_eight_hours(double seconds, string? why, Refusal refusal)
    {
        var world = new AlarmWorld();
        Assert.Equal(refusal, world.Ask(Verb.Shelve, AlarmId.DripSlow, seconds, why));
        Assert.Equal(refusal == Refusal.None ? AlarmStanding.Shelved : AlarmStanding.Normal, world[AlarmId.DripSlow]);
    }

    [Fact]
    public void What_does_not_fit_where_an_alarm_stands_is_refused_and_changes_nothing()
    {
        var world = new AlarmWorld();
        foreach (var verb in new[] { Verb.Acknowledge, Verb.Unshelve, Verb.Return })
        {
            Assert.Equal(Refusal.WrongStanding, world.Ask(verb, AlarmId.DripSlow));
        }

        Assert.Equal(Refusal.None, world.Ask(Verb.Acknowledge));
        Assert.Equal(Refusal.WrongStanding, world.Ask(Verb.Shelve, AlarmId.None, 60, "all of them"));
        Assert.All(AlarmTable.All, row => Assert.Equal(AlarmStanding.Normal, world[row.Id]));
    }

    [Fact]
    public void An_alarm_out_of_service_calls_nobody_until_it_is_returned()
    {
        var world = new AlarmWorld();
        Assert.Equal(Refusal.NoReason, world.Ask(Verb.Retire, AlarmId.ProbeTrouble));
        Assert.Equal(Refusal.None, world.Ask(Verb.Retire, AlarmId.ProbeTrouble, why: "probe sent in"));
        world.Probe(good: false);
        world.Go(9 * 3600);
        Assert.Equal((AlarmStanding.OutOfService, 0), (world[AlarmId.ProbeTrouble], world.Calls.Count));
        Assert.Equal(Refusal.None, world.Ask(Verb.Return, AlarmId.ProbeTrouble));
        Assert.Equal((AlarmStanding.Unacknowledged, 1), (world[AlarmId.ProbeTrouble], world.Calls.Count));
    }
}
