using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;

namespace Evenwater.CoreTests.Alarms;

/// <summary>What the alarms of a station go through, event by event.</summary>
public class AlarmRoundTests
{
    [Fact]
    public void A_change_of_standing_is_told_once_though_it_calls_nobody()
    {
        var world = new AlarmWorld();
        world.Probe(good: false);
        world.Go(61);
        world.Ask(Verb.Acknowledge, AlarmId.ProbeTrouble);
        Assert.Equal([AlarmId.ProbeTrouble], world.Told);
        world.Step();
        Assert.Empty(world.Told);
    }

    /// <summary>A reset is for what closed the valve and what latches: what else is wrong, or has gone unseen, stays as it is.</summary>
    [Fact]
    public void A_reset_clears_every_trip_and_touches_nothing_else()
    {
        foreach (var trip in Enum.GetValues<Trip>().Where(t => t != Trip.None))
        {
            var tripped = new AlarmWorld();
            tripped.Trip(trip);
            tripped.Step();
            tripped.Reset();
            Assert.Equal((trip, AlarmStanding.Normal), (trip, tripped[(AlarmId)trip]));
        }

        var world = new AlarmWorld();
        world.Trip(Trip.TimeBudget);
        world.Step();
        (world.State.Phase, world.State.Trip) = (Phase.Dripping, Trip.None);
        world.Probe(good: false);
        world.Go(62);
        world.Step(Verb.Reset, reset: true);
        Assert.Equal((AlarmStanding.ReturnedUnacknowledged, AlarmStanding.Unacknowledged), (world[AlarmId.TimeBudget], world[AlarmId.ProbeTrouble]));
    }

    [Fact]
    public void A_trip_by_the_high_float_makes_one_call_and_the_overflow_warning_none()
    {
        var world = new AlarmWorld();
        world.High(wet: true);
        world.Brim(0.9);
        world.Probe(good: false);
        world.Trip(Trip.HighFloat);
        world.Go(599);
        Assert.Equal([AlarmId.HighFloat], world.Calls);
    }

    [Fact]
    public void A_warning_that_its_trip_overtakes_is_suppressed_and_gone_after_the_reset()
    {
        var world = new AlarmWorld();
        world.Brim(0.9);
        world.Go(50);
        world.Trip(Trip.OverflowForecast);
        world.Go(1);
        Assert.Equal([AlarmId.OverflowWarning, AlarmId.OverflowForecast], world.Calls);
        Assert.Equal(AlarmStanding.SuppressedByDesign, world[AlarmId.OverflowWarning]);
        world.Go(130);
        world.Reset();
        Assert.Equal((AlarmStanding.Normal, AlarmStanding.Normal), (world[AlarmId.OverflowWarning], world[AlarmId.OverflowForecast]));
        Assert.Equal(2, world.Calls.Count);
    }

    /// <summary>Its off-delay is longer than it takes somebody who stands beside it to reset.</summary>
    [Fact]
    public void A_warning_that_its_trip_overtakes_does_not_call_again_after_a_quick_reset()
    {
        var world = new AlarmWorld();
        world.Brim(0.9);
        world.Go(50);
        world.Trip(Trip.OverflowForecast);
        world.Go(20);
        world.Reset();
        Assert.Equal((AlarmStanding.Normal, 2), (world[AlarmId.OverflowWarning], world.Calls.Count));
    }

    /// <summary>"Still dripping" of a valve that was closed, and "the valve is closed" of one that is open, are told of no alarm for a second.</summary>
    [Theory]
    [InlineData(AlarmId.OverflowWarning, Phase.Dripping, Phase.Armed, Phase.Holding)]
    [InlineData(AlarmId.DripSlow, Phase.Dripping, Phase.Armed, Phase.Holding)]
    [InlineData(AlarmId.DripSlow, Phase.Dripping, Phase.Dripping, Phase.Abandoned)]
    [InlineData(AlarmId.NoLongerEven, Phase.Holding, Phase.Armed, Phase.Dripping)]
    [InlineData(AlarmId.NoLongerEven, Phase.Holding, Phase.Holding, Phase.Finished)]
    [InlineData(AlarmId.ReleaseDue, Phase.Holding, Phase.Armed, Phase.Dripping)]
    [InlineData(AlarmId.ReleaseDue, Phase.Holding, Phase.Tripped, Phase.Finished)]
    public void An_alarm_that_tells_of_the_valve_goes_when_that_moves(object id, object before, object between, object after)
    {
        var (alarm, world) = ((AlarmId)id, new AlarmWorld((Phase)before));
        world.State.WasEven = true;
        world.State.Recall(alarm, AlarmStanding.Acknowledged, active: true, world.Now, world.Now, world.Now, null);
        world.State.Phase = (Phase)between;
        world.Step();
        Assert.True(world.State.AlarmOf(alarm).Active);
        world.State.Phase = (Phase)after;
        world.Step();
        Assert.Equal((AlarmStanding.Normal, 0), (world[alarm], world.Calls.Count(call => call == alarm)));
    }

    /// <summary>"Still dripping" of a warning that came back hours ago, "the valve is open" of one that a person took out of service: beside a valve that was closed long since.</summary>
    [Theory]
    [InlineData(AlarmStanding.ReturnedUnacknowledged, "It is gone by itself. While it stood: Still dripping; the valve closes by itself before the mark.")]
    [InlineData(AlarmStanding.LatchedUnacknowledged, "Still dripping; the valve closes by itself before the mark. Its cause is no longer seen; it stays until you reset it.")]
    [InlineData(AlarmStanding.LatchedAcknowledged, "Still dripping; the valve closes by itself before the mark. Its cause is no longer seen; it stays until you reset it.")]
    [InlineData(AlarmStanding.Shelved, "Nobody is called: put aside by a person (cleaning).")]
    [InlineData(AlarmStanding.OutOfService, "Nobody is called: taken out of service by a person (cleaning).")]
    [InlineData(AlarmStanding.SuppressedByDesign, "Nobody is called: another alarm tells of what causes it, and what was done.")]
    public void What_was_done_about_an_alarm_that_does_not_stand_is_not_told_as_of_now(object standing, string did) =>
        Assert.Equal(did, AlarmSentence.Of(AlarmTable.Of(AlarmId.OverflowWarning), new AlarmState { Standing = (AlarmStanding)standing, Why = "cleaning" }).Did);

    [Theory]
    [InlineData(0.49, AlarmStanding.Unacknowledged)]
    [InlineData(0.51, AlarmStanding.Normal)]
    public void Near_the_mark_nobody_is_called_where_it_will_close_as_even(double matched, object standing)
    {
        var world = new AlarmWorld();
        world.Brim(0.9);
        world.State.LatestForecast = world.State.LatestForecast with { MatchedProbability = matched };
        world.State.TemperaturesAreEven = true;
        world.Go(50);
        Assert.Equal(standing, world[AlarmId.OverflowWarning]);
    }

    [Fact]
    public void What_another_alarm_explained_calls_when_it_is_no_longer_explained_and_still_so()
    {
        var world = new AlarmWorld(Phase.Holding);
        world.LogCommits = false;
        world.Go(120);
        Assert.Equal([AlarmId.LogLost], world.Calls);
        Assert.Equal(AlarmStanding.SuppressedByDesign, world[AlarmId.DripStopped]);
        world.LogCommits = true;
        world.Go(120);
        Assert.Equal([AlarmId.LogLost, AlarmId.DripStopped], world.Calls);
    }

    [Fact]
    public void A_float_that_falls_dry_stays_latched_until_a_reset_and_one_that_bounces_does_not_chatter()
    {
        var world = new AlarmWorld();
        world.Trip(Trip.HighFloat);
        for (var i = 0; i < 30; i++)
        {
            world.High(wet: i % 2 == 0);
            world.Go(10);
        }

        Assert.Equal([AlarmId.HighFloat], world.Calls);
        world.Go(60);
        Assert.Equal(AlarmStanding.LatchedUnacknowledged, world[AlarmId.HighFloat]);
        world.Ask(Verb.Acknowledge);
        Assert.Equal(AlarmStanding.LatchedAcknowledged, world[AlarmId.HighFloat]);
        world.Reset();
        Assert.Equal(AlarmStanding.Normal, world[AlarmId.HighFloat]);
    }

    [Fact]
    public void A_reset_right_after_bailing_leaves_nothing_behind()
    {
        var world = new AlarmWorld();
        world.Trip(Trip.HighFloat);
        world.High(wet: true);
        world.Go(5);
        world.High(wet: false);
        world.Step();
        world.Reset();
        world.Go(50);
        Assert.Equal((AlarmStanding.Normal, 1), (world[AlarmId.HighFloat], world.Calls.Count));
    }

    [Fact]
    public void Water_on_the_floor_is_told_without_a_run_and_after_another_trip()
    {
        var idle = new AlarmWorld(Phase.Idle);
        idle.Floor(wet: true);
        idle.Step();
        Assert.Equal([AlarmId.Leak], idle.Calls);

        var tripped = new AlarmWorld();
        tripped.Trip(Trip.Blind);
        tripped.Step();
        tripped.Floor(wet: true);
        tripped.Step();
        Assert.Equal([AlarmId.Blind, AlarmId.Leak], tripped.Calls);
    }

    [Fact]
    public void What_can_not_be_told_is_never_gone()
    {
        var world = new AlarmWorld();
        world.Trip(Trip.Leak);
        world.Floor(wet: true);
        world.Step();
        world.Floor(wet: null);
        world.Go(599);
        Assert.Equal(AlarmStanding.Unacknowledged, world[AlarmId.Leak]);
        world.Floor(wet: false);
        world.Go(61);
        Assert.Equal(AlarmStanding.LatchedUnacknowledged, world[AlarmId.Leak]);
    }

    /// <summary>One answer in 300 that fails its check is a long wire, not a broken one. The tank's delay is half an hour (AlarmTable).</summary>
    [Fact]
    public void A_tank_too_warm_calls_though_its_thermometer_fails_now_and_then()
    {
        var world = new AlarmWorld(Phase.Idle, new() { MaxCelsius = 28 });
        for (var second = 0; second < 1807; second++)
        {
            world.Tank(180, 32);
            world.Probe(good: second % 300 != 299, Channel.TankConductivity);
            if (second % 300 == 299)
            {
                world.Probe(good: false, Channel.TankTemperature);
            }

            Assert.Empty(world.Calls);
            world.Step();
        }

        Assert.Equal([AlarmId.TankTemperature], world.Calls); // 1800 s of it and the 6 that were not told
    }

    [Fact]
    public void What_can_not_be_told_is_no_part_of_how_long_it_lasted()
    {
        var world = new AlarmWorld(Phase.Idle, new() { MaxCelsius = 28 });
        world.Tank(180, 32);
        world.Go(10);
        world.Probe(good: false, Channel.TankTemperature); // unplugged and in its bath for an evening
        world.Go(1799);
        world.Tank(180, 32);
        world.Go(60);
        Assert.Equal(AlarmStanding.Normal, world[AlarmId.TankTemperature]);

        // A good reading within the limits begins anew, and one that is going must be told as gone all the while.
        world.Tank(180, 25);
        world.Step();
        world.Tank(180, 32);
        world.Go(1801);
        Assert.Equal(AlarmStanding.Unacknowledged, world[AlarmId.TankTemperature]);
        world.Tank(180, 25);
        world.Go(1000);
        world.Probe(good: false, Channel.TankTemperature);
        world.Step();
        world.Tank(180, 25);
        world.Go(1800);
        Assert.Equal(AlarmStanding.Unacknowledged, world[AlarmId.TankTemperature]);
        world.Step();
        Assert.Equal(AlarmStanding.ReturnedUnacknowledged, world[AlarmId.TankTemperature]);
    }

    [Fact]
    public void A_leak_through_the_closed_valve_stands_until_a_reset_and_comes_again_when_it_is_seen_again()
    {
        var world = new AlarmWorld(Phase.Holding);
        world.State.WasEven = true;
        world.Leaks();
        world.State.Phase = Phase.Finished;
        world.Go(300);
        Assert.Equal((AlarmStanding.Unacknowledged, 1), (world[AlarmId.FlowWhileClosed], world.Calls.Count));
        Assert.True(world.State.IsLatched);
        world.Step(Verb.Reset, reset: true);
        Assert.Equal(AlarmStanding.Normal, world[AlarmId.FlowWhileClosed]);
        Assert.False(world.State.IsLatched);
        world.State.Phase = Phase.Holding;
        world.Leaks();
        Assert.Equal(2, world.Calls.Count);
    }

    /// <summary>It comes while a paced valve rests, and the next pulse opens it.</summary>
    [Fact]
    public void A_leak_does_not_say_of_a_drip_that_goes_on_in_pulses_that_its_valve_is_held_closed()
    {
        var world = new AlarmWorld();
        world.Leaks();
        Assert.True(world.State.HoldsOpen);
        Assert.DoesNotContain("closed;", Sentence.Of(world.State, null).Did);
    }

    /// <summary>The evidence comes once: who resets something else in that very second has not seen it.</summary>
    [Fact]
    public void A_leak_that_is_recognised_as_a_person_resets_is_told()
    {
        var world = new AlarmWorld(Phase.Holding);
        world.State.LatestForecast = world.State.LatestForecast with { Events = ForecastEvents.Leak };
        world.Step(Verb.Reset, reset: true, evaluated: true);
        world.Go(3);
        Assert.Equal(AlarmStanding.Unacknowledged, world[AlarmId.FlowWhileClosed]);
        Assert.Equal([AlarmId.FlowWhileClosed], world.Calls);
    }

    [Fact]
    public void An_alarm_that_came_and_went_unseen_is_kept_until_it_is_seen()
    {
        var world = new AlarmWorld();
        world.Brim(0.9);
        world.Go(50);
        world.Brim(0);
        world.Go(130);
        Assert.Equal(AlarmStanding.ReturnedUnacknowledged, world[AlarmId.OverflowWarning]);
        world.Ask(Verb.Acknowledge, AlarmId.OverflowWarning);
        Assert.Equal(AlarmStanding.Normal, world[AlarmId.OverflowWarning]);
    }

    [Fact]
    public void A_trip_that_only_the_log_knew_of_is_told()
    {
        foreach (var trip in Enum.GetValues<Trip>().Where(t => t != Trip.None))
        {
            var world = new AlarmWorld();
            world.State.Latch(trip);
            world.Go(3);
            Assert.Equal([(AlarmId)trip], world.Calls);
        }
    }
}
