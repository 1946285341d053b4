using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;

namespace Evenwater.CoreTests.Alarms;

/// <summary>What the alarms of a station go through, event by event.</summary>
public class AlarmRoundTests
{
    /// <summary>Closed by hand in the ten minutes in which it makes sure: "the waters are not even" would be untrue, until they are not.</summary>
    [Fact]
    public void A_drip_that_stands_still_in_even_waters_calls_nobody()
    {
        var world = new AlarmWorld(Phase.Holding);
        world.State.IsEven = true;
        world.Go(300);
        Assert.DoesNotContain(AlarmId.DripStopped, world.Calls);
        world.State.IsEven = false;
        world.Go(61);
        Assert.Contains(AlarmId.DripStopped, world.Calls);

        var after = new AlarmWorld(Phase.Holding); // they were even once: what has become of that has an alarm of its own
        after.State.WasEven = true;
        after.Go(61);
        Assert.DoesNotContain(AlarmId.DripStopped, after.Calls);
    }

    /// <summary>The float hangs at the mark of a run: where none is under way a full vessel says nothing. In one it does from before the valve opens until after a trip.</summary>
    [Theory]
    [InlineData(Phase.Idle, false)]
    [InlineData(Phase.Armed, true)]
    [InlineData(Phase.Dripping, true)]
    [InlineData(Phase.Holding, true)]
    [InlineData(Phase.Tripped, true)]
    [InlineData(Phase.Finished, false)]
    public void A_wet_high_float_is_told_in_a_run_and_not_outside_one(Phase phase, bool told)
    {
        var world = new AlarmWorld(phase);
        world.High(wet: true);
        world.Step();
        Assert.Equal(told, world.Calls.Contains(AlarmId.HighFloat));

        var measuring = new AlarmWorld(phase, highOnlyMeasures: true);
        measuring.High(wet: true);
        measuring.Step();
        Assert.DoesNotContain(AlarmId.HighFloat, measuring.Calls); // there the switch only tells of the level
        measuring.Trip(Trip.HighFloat);
        measuring.Step();
        Assert.Contains(AlarmId.HighFloat, measuring.Calls); // but a trip is told
    }

    [Theory]
    [InlineData(Phase.Dripping, true, true)]
    [InlineData(Phase.Holding, true, true)]
    [InlineData(Phase.Dripping, false, false)]
    [InlineData(Phase.Armed, true, false)]
    [InlineData(Phase.Finished, true, false)]
    public void Swapped_probes_and_a_mark_near_by_are_told_by_a_forecast_of_this_run_only(Phase phase, bool forecast, bool swapped)
    {
        var world = new AlarmWorld(phase);
        world.Brim(0.9);
        world.State.HasForecast = forecast;
        world.State.LatestForecast = world.State.LatestForecast with { ProbesSwapped = true };
        world.Go(120);
        Assert.Equal((swapped, swapped && phase == Phase.Dripping), (world.Calls.Contains(AlarmId.ProbesSwapped), world.Calls.Contains(AlarmId.OverflowWarning)));
    }

    [Theory] // 15 mL/min as measured: slow below 0.3 of it, 4.5
    [InlineData(4.4, false, true, true)]
    [InlineData(4.5, false, true, false)]
    [InlineData(4.4, true, true, false)] // it makes sure, and closes
    [InlineData(4.4, false, false, false)]
    public void A_slow_drip_is_told_below_its_share_by_a_forecast_and_while_it_is_not_even(double most, bool even, bool forecast, bool told)
    {
        var world = new AlarmWorld();
        world.Flow(most);
        (world.State.IsEven, world.State.HasForecast) = (even, forecast);
        world.Go(302);
        Assert.Equal(told, world.Calls.Contains(AlarmId.DripSlow));
    }

    [Theory]
    [InlineData(DiskRoom.Plenty, AlarmId.None)]
    [InlineData(DiskRoom.Short, AlarmId.DiskShort)]
    [InlineData(DiskRoom.NearlyFull, AlarmId.DiskNearlyFull)] // which explains the other
    public void A_disk_calls_once_by_how_much_is_left(DiskRoom room, AlarmId called)
    {
        var world = new AlarmWorld(Phase.Idle) { DiskRoom = room };
        world.Go(62);
        Assert.Equal(called == AlarmId.None ? [] : [called], world.Calls);
    }

    /// <summary>Switches have alarms and trips of their own, and no run rests on the light over the tank.</summary>
    [Theory]
    [InlineData(Channel.VesselConductivity, true)]
    [InlineData(Channel.TankConductivity, true)]
    [InlineData(Channel.VesselTemperature, true)]
    [InlineData(Channel.TankTemperature, true)]
    [InlineData(Channel.FloatHigh, false)]
    [InlineData(Channel.FloatLow, false)]
    [InlineData(Channel.Leak, false)]
    [InlineData(Channel.TankLight, false)]
    public void A_silent_probe_of_the_run_is_probe_trouble_and_a_silent_switch_or_lamp_is_none(Channel channel, bool trouble)
    {
        var world = new AlarmWorld();
        world.Probe(good: false, channel);
        world.Go(61);
        Assert.Equal(trouble, world.Calls.Contains(AlarmId.ProbeTrouble));
    }

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
        Assert.True(AlarmRound.AnyToReset(world.State));
        world.Step(Verb.Reset, reset: true);
        Assert.Equal(AlarmStanding.Normal, world[AlarmId.FlowWhileClosed]);
        Assert.False(AlarmRound.AnyToReset(world.State));
        world.State.Phase = Phase.Holding;
        world.Leaks();
        Assert.Equal(2, world.Calls.Count);
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
    public void One_forecast_alone_does_not_warn_of_the_mark_and_two_in_a_row_do()
    {
        var world = new AlarmWorld();
        world.Brim(0.9);
        world.Go(40);
        world.Brim(0);
        world.Go(10);
        Assert.Equal(AlarmStanding.Normal, world[AlarmId.OverflowWarning]);
        world.Brim(0.9);
        world.Go(50);
        Assert.Equal(AlarmStanding.Unacknowledged, world[AlarmId.OverflowWarning]);
    }

    [Theory] // a quarter of 0.02 x (1 - 0.95 x 0.4) = 0.0031, and of 0.02 = 0.005
    [InlineData(0.4, AlarmStanding.Unacknowledged)]
    [InlineData(0, AlarmStanding.Normal)]
    public void It_warns_of_the_less_risk_the_likelier_the_waters_are_even(double even, AlarmStanding stands)
    {
        var world = new AlarmWorld();
        world.State.TemperaturesAreEven = true;
        world.State.LatestForecast = world.State.LatestForecast with { MatchedProbability = even };
        world.Brim(0.004);
        world.Go(50);
        Assert.Equal(stands, world[AlarmId.OverflowWarning]);
    }

    [Fact]
    public void Setpoint_and_deadband_of_the_table_are_the_ones_that_act()
    {
        // TestStation: tripProbability as by default. The warning comes above a quarter of it and goes at or below half of that.
        var world = new AlarmWorld();
        var warns = 0.25 * world.State.Station.Safety.TripProbability;
        world.Brim(0.99 * warns);
        world.Go(50);
        Assert.Equal(AlarmStanding.Normal, world[AlarmId.OverflowWarning]);
        world.Brim(1.01 * warns);
        world.Go(50);
        world.Brim(0.51 * warns);
        world.Go(200);
        Assert.Equal(AlarmStanding.Unacknowledged, world[AlarmId.OverflowWarning]);

        world.Brim(double.NaN);
        world.Ask(Verb.Acknowledge, AlarmId.OverflowWarning);
        world.Go(200);
        Assert.Equal(AlarmStanding.Acknowledged, world[AlarmId.OverflowWarning]);

        // 15 mL/min as measured: slow below 4.5, and no longer from 9.0 on.
        world.Flow(4.6);
        world.Go(301);
        Assert.Equal(AlarmStanding.Normal, world[AlarmId.DripSlow]);
        world.Flow(4.4);
        world.Go(301);
        Assert.Equal(AlarmStanding.Unacknowledged, world[AlarmId.DripSlow]);
        world.Flow(8.9);
        world.Go(301);
        Assert.Equal(AlarmStanding.Unacknowledged, world[AlarmId.DripSlow]);
        world.Flow(9.1);
        world.Go(301);
        Assert.Equal(AlarmStanding.ReturnedUnacknowledged, world[AlarmId.DripSlow]);
    }

    [Fact]
    public void Swapped_probes_have_an_alarm_of_their_own()
    {
        var world = new AlarmWorld();
        world.State.LatestForecast = world.State.LatestForecast with { ProbesSwapped = true };
        world.Go(120);
        Assert.Equal([AlarmId.ProbesSwapped], world.Calls);
        Assert.Contains("Put each probe into its own water", AlarmTable.Of(AlarmId.ProbesSwapped).Act, StringComparison.Ordinal);
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
