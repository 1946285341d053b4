using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Protection;

/// <summary>What a cycle counts, and that what it counts closes the valve: a run that drips 15 mL/min into 1.6 L, stepped once a second.</summary>
public sealed class CycleTests
{
    private readonly Station _station = TestStation.Make();

    /// <summary>15 mL/min for 20 min are 0.3 L; the estimate may differ from the prior's flow by a tenth by then.</summary>
    [Fact]
    public void Water_and_time_count_while_it_is_open_and_at_no_other_time()
    {
        var run = new CycleWorld(_station);
        run.Seconds(1200);
        Assert.Equal(1200, run.State.OpenSeconds, 2.0);
        Assert.InRange(run.State.InflowLitres, 0.27, 0.33);
        var (open, litres) = (run.State.OpenSeconds, run.State.InflowLitres);
        run.IsOpen = false;
        run.Seconds(60);
        Assert.Equal((open, litres), (run.State.OpenSeconds, run.State.InflowLitres));
        run.IsOpen = true;
        run.Step(Verb.None, seconds: Cycle.GapSeconds + 1); // nobody pulsed meanwhile, so it was shut
        Assert.Equal((open, litres), (run.State.OpenSeconds, run.State.InflowLitres));
    }

    [Fact]
    public void A_longer_cycle_counts_as_long()
    {
        var run = new CycleWorld(_station);
        for (var i = 0; i < 300; i++) run.Step(Verb.None, seconds: 2);
        Assert.Equal(600, run.State.OpenSeconds, 4.0);
        Assert.InRange(run.State.InflowLitres, 0.135, 0.165);
    }

    [Fact]
    public void The_time_that_was_counted_closes_it()
    {
        var run = new CycleWorld(_station with { Safety = _station.Safety with { MaxOpenMinutes = 10 } });
        run.Seconds(597);
        Assert.Equal(Phase.Dripping, run.State.Phase);
        run.Seconds(6);
        Assert.Equal((Phase.Tripped, Trip.TimeBudget), (run.State.Phase, run.State.Trip));
    }

    /// <summary>What opened into a cup is not gone on with once animals have come.</summary>
    [Theory]
    [InlineData(true, Phase.Abandoned)]
    [InlineData(null, Phase.Holding)]
    public void A_proof_test_that_tripped_has_ended_once_it_is_reset(bool? proof, Phase reset)
    {
        var run = new CycleWorld(_station with { Safety = _station.Safety with { MaxOpenMinutes = 10 } });
        run.State.Run = run.State.Run! with { ProofTest = proof };
        run.Seconds(603);
        Assert.Equal(Phase.Tripped, run.State.Phase);
        run.Step(Verb.Reset);
        Assert.Equal(reset, run.State.Phase);
    }

    /// <summary>0.15 L at 15 mL/min are 10 min.</summary>
    [Fact]
    public void The_water_that_was_counted_closes_it()
    {
        var run = new CycleWorld(_station with { Safety = _station.Safety with { MaxInflowLitres = 0.15 } });
        run.Seconds(500);
        Assert.Equal(Phase.Dripping, run.State.Phase);
        run.Seconds(200);
        Assert.Equal((Phase.Tripped, Trip.VolumeBudget), (run.State.Phase, run.State.Trip));
    }

    /// <summary>Half an hour must be seen; then a change faster than the file allows closes it.</summary>
    [Theory]
    [InlineData(true, 2.2, Trip.LivestockLimit)]
    [InlineData(true, 1.8, Trip.None)]
    [InlineData(false, 130, Trip.LivestockLimit)]
    [InlineData(false, 110, Trip.None)]
    public void What_the_probes_read_is_held_against_the_animals_limits(bool warmth, double perHour, Trip trip)
    {
        var run = new CycleWorld(_station with { Limits = new Limits { CelsiusPerHour = 2, MicrosiemensPerCmPerHour = 120 } });
        if (warmth) run.Celsius = s => 19.5 + (perHour * s / 3600);
        else run.MicrosiemensPerCm = s => 410 - (perHour * s / 3600);
        run.Seconds(1780);
        Assert.Equal(Phase.Dripping, run.State.Phase);
        run.Seconds(120);
        Assert.Equal(trip, run.State.Trip);
    }

    /// <summary>The planned close: even, and even long enough; one alone closes nothing.</summary>
    [Theory]
    [InlineData(true, true, 600, Phase.Holding)]
    [InlineData(true, true, 500, Phase.Dripping)] // it was earlier in the run, and is again
    [InlineData(true, false, 600, Phase.Dripping)]
    [InlineData(false, true, 600, Phase.Dripping)]
    public void It_closes_as_planned_when_it_is_even_and_has_been_so(bool was, bool isEven, double seconds, Phase phase)
    {
        var run = new CycleWorld(_station);
        run.Seconds(40);
        (run.State.WasEven, run.State.IsEven, run.State.EvenSince) = (was, isEven, run.State.LastStepAt.Plus(-seconds));
        run.Step(Verb.None);
        Assert.Equal((phase, Trip.None), (run.State.Phase, run.State.Trip));
    }

    /// <summary>Matched in one cup the tank's probe read a tenth too little: as the vessel's own probe would give it, 185 is 203.5.</summary>
    [Fact]
    public void Of_matched_probes_the_tank_s_reading_is_the_vessel_s()
    {
        var run = new CycleWorld(_station, gainRatio: 1.1) { TankMicrosiemensPerCm = 185 };
        run.Step(Verb.None);
        Assert.True(run.State.Readings[Channel.TankConductivity].TryGet(out var tank));
        Assert.Equal(203.5, tank, 1e-9);
        Assert.True(run.State.Readings[Channel.VesselConductivity].TryGet(out var vessel));
        Assert.InRange(vessel, 380, 411);
    }

    [Fact]
    public void How_long_the_water_has_stood_begins_when_it_closes()
    {
        var run = new CycleWorld(_station);
        run.Seconds(30);
        run.Step(Verb.Close);
        run.IsOpen = false;
        run.Seconds(100);
        Assert.Equal(100, run.State.LastStepAt.SecondsSince(run.State.StoodSince), 1.0);
    }

    /// <summary>Water ran through the closed valve, a person has lifted the tube and reset, and goes on at once: no forecast has said so since.</summary>
    [Fact]
    public void A_leak_that_was_reset_is_not_told_again_because_the_valve_opens()
    {
        var run = new CycleWorld(_station);
        run.Seconds(95);
        run.Step(Verb.Close);
        run.IsOpen = false;
        run.State.LatestForecast = run.State.LatestForecast with { Events = ForecastEvents.Leak };
        run.Step(Verb.Begin);
        Assert.Equal(Phase.Dripping, run.State.Phase);
        Assert.False(run.State.LeakSeen);
        run.Step(Verb.None);
        Assert.Equal(AlarmStanding.Normal, run.State.AlarmOf(AlarmId.FlowWhileClosed).Standing);
    }

    [Fact]
    public void Each_forecast_is_told_once_and_is_as_old_as_it_is()
    {
        var run = new CycleWorld(_station);
        run.Seconds(95);
        Assert.Equal((3, true), (run.Evaluated, run.State.HasForecast)); // one in half a minute
        Assert.InRange(run.State.LastStepAt.SecondsSince(run.State.EvaluatedAt), 0, 30);
    }

    /// <summary>A cut whose length no clock knows counts as too long, until the valve opens or a clock tells it after all.</summary>
    [Fact]
    public void A_cut_that_nobody_can_measure_is_remembered_until_it_can_be()
    {
        var run = new CycleWorld(_station);
        run.Step(Verb.Close);
        run.IsOpen = false;
        run.Step(Verb.None, cutUnknown: true);
        run.Seconds(50);
        Assert.True(run.State.StoodLonger);
        var stood = run.State.StoodSince;
        run.Step(Verb.None, cutLonger: 3600);
        Assert.False(run.State.StoodLonger);
        Assert.Equal(3600, stood.SecondsSince(run.State.StoodSince), 1e-6);
        run.Step(Verb.None, cutUnknown: true);
        run.IsOpen = true;
        run.Step(Verb.None);
        Assert.False(run.State.StoodLonger);
    }
}
