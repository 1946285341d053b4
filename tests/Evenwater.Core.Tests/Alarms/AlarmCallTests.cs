using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;

namespace Evenwater.CoreTests.Alarms;

/// <summary>How often an alarm calls a person: again while nobody has seen it, for somebody else in the end, and once more for another fault.</summary>
public class AlarmCallTests
{
    [Fact]
    public void A_critical_alarm_that_nobody_has_seen_calls_every_ten_minutes_and_a_seen_one_after_its_own_time()
    {
        var world = new AlarmWorld();
        world.Trip(Trip.Leak);
        world.Floor(wet: true);
        world.Go(1801);
        Assert.Equal(4, world.Calls.Count); // at once, and after 10, 20 and 30 min
        world.Ask(Verb.Acknowledge, AlarmId.Leak);
        world.Go(1799);
        Assert.Equal((AlarmStanding.Acknowledged, 4), (world[AlarmId.Leak], world.Calls.Count));
        world.Go(1);
        Assert.Equal((AlarmStanding.Unacknowledged, 5), (world[AlarmId.Leak], world.Calls.Count));
    }

    [Fact]
    public void An_alarm_that_is_not_critical_calls_once_until_it_is_seen()
    {
        var world = new AlarmWorld();
        world.Probe(good: false);
        world.Go(10 * 3600);
        Assert.Equal([AlarmId.ProbeTrouble], world.Calls);
        world.Ask(Verb.Acknowledge, AlarmId.ProbeTrouble);
        world.Go((240 * 60) + 1);
        Assert.Equal([AlarmId.ProbeTrouble, AlarmId.ProbeTrouble], world.Calls);
    }

    /// <summary>Every standing, one hour in each. Only what is wrong and unseen repeats, and only a critical alarm.</summary>
    [Theory]
    [InlineData(AlarmStanding.Normal, 0)]
    [InlineData(AlarmStanding.Unacknowledged, 6)] // after 10, 20 .. 60 min
    [InlineData(AlarmStanding.Acknowledged, 4)] // its own re-alarm time of 30 min, and from then on unseen: 30, 40, 50, 60
    [InlineData(AlarmStanding.ReturnedUnacknowledged, 0)]
    [InlineData(AlarmStanding.LatchedUnacknowledged, 0)]
    [InlineData(AlarmStanding.LatchedAcknowledged, 0)]
    [InlineData(AlarmStanding.Shelved, 0)]
    [InlineData(AlarmStanding.SuppressedByDesign, 0)]
    [InlineData(AlarmStanding.OutOfService, 0)]
    public void A_critical_alarm_repeats_while_it_is_wrong_and_unseen_and_in_no_other_standing(AlarmStanding standing, int calls)
    {
        var world = new AlarmWorld();
        var wrong = standing is AlarmStanding.Unacknowledged or AlarmStanding.Acknowledged or AlarmStanding.Shelved or AlarmStanding.OutOfService;
        if (standing == AlarmStanding.SuppressedByDesign)
        {
            // No critical alarm is ever suppressed by the table; one that were so calls nobody as long as it is.
            Assert.All(AlarmTable.All.Where(row => row.Priority == Priority.Critical), row => Assert.Empty(row.SuppressedBy));
        }

        if (wrong)
        {
            world.Trip(Trip.Leak);
            world.Floor(wet: true);
            world.Step();
            world.Calls.Clear();
        }

        ref var alarm = ref world.State.Alarms[(int)AlarmId.Leak];
        (alarm.Standing, alarm.StandingSince, alarm.ShelvedUntil) = (standing, world.Now, world.Now.Plus(2 * 3600));
        world.Go(3601);
        Assert.Equal(standing == AlarmStanding.SuppressedByDesign ? 0 : calls, world.Calls.Count);
    }

    [Fact]
    public void A_critical_alarm_that_calls_in_vain_for_the_third_time_asks_for_somebody_else_until_it_is_seen()
    {
        var world = new AlarmWorld();
        var row = AlarmTable.Of(AlarmId.Leak);
        world.Trip(Trip.Leak);
        world.Floor(wet: true);
        world.Go(1199);
        Assert.Equal((2, false), (world.Calls.Count, world.State.AlarmOf(AlarmId.Leak).IsEscalated(row)));
        world.Go(3);
        Assert.Equal((3, true), (world.Calls.Count, world.State.AlarmOf(AlarmId.Leak).IsEscalated(row)));
        Assert.StartsWith("Called 3 times, and nobody has seen it: go, or call somebody who can. Keep away", AlarmSentence.Of(row, world.State.AlarmOf(AlarmId.Leak)).Act, StringComparison.Ordinal);
        world.Ask(Verb.Acknowledge, AlarmId.Leak);
        Assert.False(world.State.AlarmOf(AlarmId.Leak).IsEscalated(row));
        Assert.Equal(row.Act, AlarmSentence.Of(row, world.State.AlarmOf(AlarmId.Leak)).Act);
        world.Go(1802);
        Assert.Equal((4, 1, false), (world.Calls.Count, world.State.AlarmOf(AlarmId.Leak).UnseenCalls, world.State.AlarmOf(AlarmId.Leak).IsEscalated(row)));
    }

    [Fact]
    public void Nobody_else_is_called_for_a_floor_that_has_dried_since()
    {
        var world = new AlarmWorld();
        var row = AlarmTable.Of(AlarmId.Leak);
        world.Trip(Trip.Leak);
        world.Floor(wet: true);
        world.Go(1202);
        Assert.True(world.State.AlarmOf(AlarmId.Leak).IsEscalated(row));
        world.Floor(wet: false);
        world.Go(62);
        Assert.Equal((AlarmStanding.LatchedUnacknowledged, false), (world.State.AlarmOf(AlarmId.Leak).Standing, world.State.AlarmOf(AlarmId.Leak).IsEscalated(row)));
    }

    [Fact]
    public void A_second_probe_that_fails_calls_again_once_and_one_that_fails_with_the_first_does_not()
    {
        var world = new AlarmWorld();
        world.Probe(good: false);
        world.Probe(good: false, Channel.TankConductivity);
        world.Go(61);
        Assert.Equal([AlarmId.ProbeTrouble], world.Calls);
        world.Ask(Verb.Acknowledge, AlarmId.ProbeTrouble);

        world.Probe(good: false, Channel.TankTemperature);
        world.Go(59);
        world.Probe(good: true, Channel.TankTemperature);
        world.Go(10);
        Assert.Equal([AlarmId.ProbeTrouble], world.Calls); // not for a minute
        world.Probe(good: false, Channel.TankTemperature);
        world.Go(60);
        Assert.Single(world.Calls); // nor does what it was before count
        world.Go(1);
        Assert.Equal((AlarmStanding.Unacknowledged, 2), (world[AlarmId.ProbeTrouble], world.Calls.Count));

        // Come and gone, again and again: told already.
        for (var i = 0; i < 20; i++)
        {
            world.Probe(good: i % 2 == 0, Channel.TankTemperature);
            world.Go(70);
        }

        Assert.Equal(2, world.Calls.Count);
        foreach (var channel in new[] { Channel.VesselConductivity, Channel.TankConductivity, Channel.TankTemperature })
        {
            world.Probe(good: true, channel);
        }

        world.Go(61);
        world.Probe(good: false, Channel.TankTemperature);
        world.Go(61);
        Assert.Equal(3, world.Calls.Count); // afresh
    }

    /// <summary>Wet, dry for longer than it takes, and wet again, with nobody there: its third call asks for somebody else. A probe that does the same does not: nothing floods.</summary>
    [Fact]
    public void What_comes_and_goes_unseen_keeps_count_of_its_calls_and_only_a_critical_one_asks_for_somebody_else()
    {
        var (floor, probe) = (new AlarmWorld(), new AlarmWorld());
        var (leak, trouble) = (AlarmTable.Of(AlarmId.Leak), AlarmTable.Of(AlarmId.ProbeTrouble));
        for (var call = 1; call <= 3; call++)
        {
            floor.Floor(wet: true);
            floor.Go(61);
            probe.Probe(good: false);
            probe.Go(61);
            Assert.Equal((call, call == 3), (floor.State.AlarmOf(leak.Id).UnseenCalls, floor.State.AlarmOf(leak.Id).IsEscalated(leak)));
            Assert.Equal((call, false), (probe.State.AlarmOf(trouble.Id).UnseenCalls, probe.State.AlarmOf(trouble.Id).IsEscalated(trouble)));
            floor.Floor(wet: false);
            floor.Go(62);
            probe.Probe(good: true);
            probe.Go(62);
            Assert.Equal((AlarmStanding.LatchedUnacknowledged, call), (floor[leak.Id], floor.State.AlarmOf(leak.Id).UnseenCalls));
            Assert.Equal((AlarmStanding.ReturnedUnacknowledged, call), (probe[trouble.Id], probe.State.AlarmOf(trouble.Id).UnseenCalls));
        }

        floor.Ask(Verb.Acknowledge, leak.Id);
        Assert.True(floor.State.IsLatched); // seen, it is latched all the same
    }

    [Fact]
    public void A_further_probe_calls_again_for_the_probes_alone()
    {
        var world = new AlarmWorld(Phase.Holding);
        world.Go(61);
        world.Ask(Verb.Acknowledge, AlarmId.DripStopped);
        world.Probe(good: false);
        world.Go(61);
        world.Probe(good: false, Channel.TankConductivity);
        world.Go(61);
        Assert.Equal((1, AlarmStanding.Acknowledged), (world.Calls.Count(id => id == AlarmId.DripStopped), world[AlarmId.DripStopped]));
    }

    /// <summary>"By when" counts from when it came: after its delay, and not from when it went.</summary>
    [Fact]
    public void Since_when_it_is_so_is_when_it_came()
    {
        var world = new AlarmWorld();
        world.Probe(good: false);
        world.Go(61);
        var came = world.Now;
        Assert.Equal((AlarmStanding.Unacknowledged, came), (world[AlarmId.ProbeTrouble], world.State.AlarmOf(AlarmId.ProbeTrouble).ActiveSince));
        world.Probe(good: true);
        world.Go(62);
        Assert.Equal((AlarmStanding.ReturnedUnacknowledged, came), (world[AlarmId.ProbeTrouble], world.State.AlarmOf(AlarmId.ProbeTrouble).ActiveSince));
    }

    /// <summary>
    /// Who was told that a probe is not believed was told that the forecast goes on. That the drip has stopped for it is another event, of a higher
    /// priority and with another act (reset and begin again), and calls; nothing else does.
    /// </summary>
    [Fact]
    public void A_probe_that_fails_and_the_closing_that_comes_of_it_are_two_calls_and_no_more()
    {
        var world = new AlarmWorld();
        world.Probe(good: false);
        world.Go(600);
        world.Trip(Trip.Blind);
        world.Go(600);
        Assert.Equal([AlarmId.ProbeTrouble, AlarmId.Blind], world.Calls);
        Assert.Equal(AlarmStanding.SuppressedByDesign, world[AlarmId.ProbeTrouble]);
        world.Probe(good: false, Channel.TankTemperature);
        world.Go(600);
        Assert.Equal(2, world.Calls.Count);
        Assert.True(AlarmTable.Of(AlarmId.Blind).Priority > AlarmTable.Of(AlarmId.ProbeTrouble).Priority);
        Assert.Contains("reset and begin again", AlarmTable.Of(AlarmId.Blind).Act, StringComparison.Ordinal);
    }

    [Fact]
    public void A_test_calls_once_clears_though_nobody_saw_it_and_is_neither_told_as_how_the_station_stands_nor_counted()
    {
        var world = new AlarmWorld(Phase.Idle) { TestCalls = true };
        var before = Sentence.Of(world.State, null);
        world.Go(599);
        Assert.Equal([AlarmId.WeeklyTest], world.Calls);
        Assert.Equal(AlarmStanding.Unacknowledged, world[AlarmId.WeeklyTest]);
        Assert.Equal(before, Sentence.Of(world.State, null));
        world.TestCalls = false;
        world.Go(1);
        Assert.Equal((AlarmStanding.Normal, 1), (world[AlarmId.WeeklyTest], world.Calls.Count));

        var tally = new AlarmTally();
        tally.Add(AlarmId.WeeklyTest, world.Now);
        Assert.Equal(0, tally.Measure(world.State, world.Now).LastDay);
    }

    [Fact]
    public void Water_that_ran_through_the_closed_valve_before_a_restart_goes_on_calling_after_it()
    {
        var world = new AlarmWorld(Phase.Idle);
        world.State.Recall(AlarmId.FlowWhileClosed, AlarmStanding.Unacknowledged, active: true, world.Now, world.Now, world.Now, null);
        world.Go(1201);
        Assert.Equal(AlarmStanding.Unacknowledged, world[AlarmId.FlowWhileClosed]);
        Assert.Equal([AlarmId.FlowWhileClosed, AlarmId.FlowWhileClosed], world.Calls);
        world.Reset();
        Assert.Equal(AlarmStanding.Normal, world[AlarmId.FlowWhileClosed]);
    }

    /// <summary>What a replay came to and the log never told has called nobody.</summary>
    [Fact]
    public void An_alarm_that_the_log_tells_is_gone_calls_when_it_is_still_so()
    {
        var world = new AlarmWorld();
        world.Probe(good: false);
        world.Go(61);
        world.Calls.Clear();
        world.State.Recall(AlarmId.ProbeTrouble, AlarmStanding.Normal, active: false, world.Now, world.Now, world.Now, null);
        world.Go(59);
        Assert.Empty(world.Calls);
        world.Go(2);
        Assert.Equal([AlarmId.ProbeTrouble], world.Calls);
    }

    /// <summary>Where no clock was ever set the log does not tell since when an alarm is so.</summary>
    [Theory]
    [InlineData(AlarmStanding.Acknowledged, AlarmStanding.Normal)]
    [InlineData(AlarmStanding.Unacknowledged, AlarmStanding.ReturnedUnacknowledged)]
    public void An_alarm_of_before_a_restart_is_over_when_its_cause_is_gone_though_nobody_knows_since_when_it_was(AlarmStanding before, AlarmStanding after)
    {
        var world = new AlarmWorld();
        world.State.Recall(AlarmId.ProbeTrouble, before, active: false, world.Now, world.Now, world.Now, null);
        world.Go(62);
        Assert.Equal(after, world[AlarmId.ProbeTrouble]);
    }
}
