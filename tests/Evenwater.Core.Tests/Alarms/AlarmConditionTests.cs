using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;

namespace Evenwater.CoreTests.Alarms;

/// <summary>When each alarm's condition is true, and when not.</summary>
public class AlarmConditionTests
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

    /// <summary>Beside "The valve was closed" of the lost log the disk that had lost it said that nothing was closed.</summary>
    [Fact]
    public void A_disk_so_full_that_the_log_is_lost_does_not_say_that_nothing_was_closed()
    {
        var world = new AlarmWorld { DiskRoom = DiskRoom.NearlyFull, LogCommits = false };
        world.Trip(Trip.LogLost);
        world.Go(62);
        Assert.Equal((AlarmStanding.Unacknowledged, AlarmStanding.Unacknowledged), (world[AlarmId.LogLost], world[AlarmId.DiskNearlyFull]));
        var did = AlarmSentence.Of(AlarmTable.Of(AlarmId.DiskNearlyFull), world.State.AlarmOf(AlarmId.DiskNearlyFull)).Did;
        Assert.DoesNotContain("Nothing was closed", did, StringComparison.Ordinal);
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
}
