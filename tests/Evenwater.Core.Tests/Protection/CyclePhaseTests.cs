using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Protection;

/// <summary>How a run goes from phase to phase in the cycle itself; the table alone is tried by <see cref="InterlockTests"/>.</summary>
public sealed class CyclePhaseTests
{
    private readonly Station _station = TestStation.Make();

    /// <summary>225 µS/cm apart at first, within 112 from 3.2 L on: 1.6 L more at 15 mL/min are 107 min. Sure, and sure for ten minutes, it is somewhat later.</summary>
    [Fact]
    public void What_is_even_closes_as_planned()
    {
        var run = new CycleWorld(_station with { Match = new Match { ToleranceMicrosiemensPerCm = 112 } }) { TankMicrosiemensPerCm = 185 };
        run.Seconds(107 * 60);
        Assert.Equal((Phase.Dripping, false), (run.State.Phase, run.State.WasEven));
        run.Seconds(33 * 60);
        Assert.Equal((Phase.Holding, Trip.None, true), (run.State.Phase, run.State.Trip, run.State.WasEven));
    }

    /// <summary>Every way to a closed valve says so at once, and does not wait for its permission to run out; every change is told, once, and an opening shuts nothing.</summary>
    [Fact]
    public void What_closes_shuts_at_once_and_is_told_once()
    {
        var run = new CycleWorld(_station);
        Assert.Equal([], run.Shut);
        Assert.Equal([Phase.Dripping], run.Told);
        run.Seconds(60);
        Assert.Equal([], run.Shut);
        Assert.Equal([], run.Told);
        run.Step(Verb.Close);
        Assert.Equal([Trip.None], run.Shut);
        Assert.Equal([Phase.Holding], run.Told);
        Assert.Equal(run.State.LastStepAt, run.State.PhaseSince);
        run.Step(Verb.Begin);
        run.State.OpenSeconds = 1e6;
        run.Step(Verb.None);
        Assert.Equal([Trip.TimeBudget], run.Shut);
        Assert.Equal([Phase.Tripped], run.Told);
        run.Seconds(10);
        Assert.Equal([], run.Shut);
        Assert.Equal([], run.Told);
        Assert.Equal(10, run.State.LastStepAt.SecondsSince(run.State.PhaseSince), 1e-6);
    }

    [Fact]
    public void What_was_closed_goes_on_as_the_same_run_and_what_is_over_needs_a_new_one()
    {
        var run = new CycleWorld(_station);
        run.Seconds(60);
        run.Step(Verb.Close);
        Assert.Equal(Phase.Holding, run.State.Phase);
        run.Step(Verb.Begin);
        Assert.Equal((Phase.Dripping, 1, 2), (run.State.Phase, run.State.Run!.RunId, run.Asked));
        run.Step(Verb.Finish);
        Assert.Equal(Phase.Abandoned, run.State.Phase);
        var told = run.Evaluated;
        run.Seconds(90);
        Assert.Equal(told, run.Evaluated); // nobody forecasts a run that is over
        run.Step(Verb.Begin);
        Assert.Equal((Phase.Abandoned, Refusal.NoRun), (run.State.Phase, run.Refusal));
    }

    [Fact]
    public void A_new_run_begins_with_nothing_of_the_last_one()
    {
        var run = new CycleWorld(_station);
        var state = run.State;
        run.Seconds(400);
        Assert.NotNull(state.ConductivityRate.FromStart);
        Assert.NotNull(state.TemperatureRate.FromStart);
        run.Step(Verb.Close);
        run.IsOpen = false;
        run.Step(Verb.None, cutUnknown: true);
        run.Step(Verb.Finish);
        (state.WasEven, state.IsEven, state.ClosesNearMark) = (true, true, true);
        (state.DrawOffsTold, state.DrawnOffLitres, state.RoomMadeLitres) = (2, 1.5, 1.2);
        run.Seconds(900);
        run.IsOpen = true;
        run.Step(Verb.Begin, new RunStart(2, TestStation.Prior, 8));
        Assert.Equal((Phase.Dripping, 2), (state.Phase, state.Run!.RunId));
        Assert.Equal((false, false, false, false, false), (state.HasForecast, state.IsEven, state.WasEven, state.ClosesNearMark, state.StoodLonger));
        Assert.Equal((0, 0.0, 0.0, 0), (state.DrawOffsTold, state.DrawnOffLitres, state.RoomMadeLitres, state.Evaluations));
        Assert.Equal((null, null), (state.ConductivityRate.FromStart, state.TemperatureRate.FromStart));
        Assert.InRange(state.OpenSeconds, 0, 2);
        Assert.InRange(state.InflowLitres, 0, 0.001);
        Assert.All([state.StartedAt, state.StoodSince, state.EvaluatedAt], at => Assert.InRange(state.LastStepAt.SecondsSince(at), 0, 2));
    }

    [Fact]
    public void An_opening_that_the_log_does_not_commit_within_a_minute_is_given_up()
    {
        var run = new CycleWorld(_station, committed: false);
        run.Seconds(60);
        Assert.Equal(Phase.Armed, run.State.Phase);
        run.Step(Verb.None);
        Assert.Equal(Phase.Holding, run.State.Phase);
        run.IsCommitted = true;
        run.Seconds(5);
        Assert.Equal(Phase.Holding, run.State.Phase); // what comes too late opens nothing
    }

    [Fact]
    public void A_restart_asks_anew_for_the_opening_that_the_one_before_had_asked_for()
    {
        var run = new CycleWorld(TestStation.Make(mayResume: true), committed: false);
        run.Seconds(30);
        Assert.Equal((Phase.Armed, 1), (run.State.Phase, run.Asked));
        run.Step(Verb.Restarted);
        Assert.Equal((Phase.Armed, 2), (run.State.Phase, run.Asked));
        run.Seconds(60);
        Assert.Equal((Phase.Armed, 2), (run.State.Phase, run.Asked)); // and has a minute of its own
    }

    /// <summary>A reset that is refused resets no alarm either.</summary>
    [Fact]
    public void What_is_latched_stays_so_until_a_reset_is_granted()
    {
        var run = new CycleWorld(_station);
        run.HighWet = true;
        run.Seconds(5);
        Assert.Equal((Phase.Tripped, Trip.HighFloat), (run.State.Phase, run.State.Trip));
        (run.HighWet, run.LogCommits) = (false, false);
        run.Seconds(120);
        run.Step(Verb.Reset);
        Assert.Equal((Phase.Tripped, Refusal.LogLost), (run.State.Phase, run.Refusal));
        Assert.True(run.State.IsLatched);
        run.LogCommits = true;
        run.Seconds(120);
        run.Step(Verb.Reset);
        Assert.Equal((Phase.Holding, Refusal.None, false), (run.State.Phase, run.Refusal, run.State.IsLatched));
    }

    /// <summary>Water was seen to run through the closed valve in the very second of the begin: what is latched bars an opening that waits as it bars one that is asked for.</summary>
    [Fact]
    public void An_opening_that_waits_is_given_up_when_an_alarm_comes_that_waits_for_its_reset()
    {
        var run = new CycleWorld(_station, committed: false);
        run.State.LeakSeen = true; // as by the forecast of this cycle
        run.Step(Verb.None);
        Assert.Equal(AlarmStanding.Unacknowledged, run.State.AlarmOf(AlarmId.FlowWhileClosed).Standing);
        run.IsCommitted = true;
        run.Step(Verb.None);
        Assert.Equal(Phase.Holding, run.State.Phase);
        run.Step(Verb.Begin);
        Assert.Equal((Phase.Holding, Refusal.Latched), (run.State.Phase, run.Refusal));
        run.Step(Verb.Reset);
        run.Step(Verb.Begin);
        Assert.Equal(Phase.Dripping, run.State.Phase);
    }

    /// <summary>As after a log that was set aside: tripped, and nothing is known of any run.</summary>
    [Fact]
    public void A_trip_without_a_run_stays_closed_and_forecasts_nothing()
    {
        var (state, effects) = (new StationState(_station) { Phase = Phase.Tripped }, default(EffectBuffer));
        for (var i = 0; i < 60; i++) Cycle.Step(state, new Samples { Readings = Readings.None(), LogCommits = true }, MonotonicTime.FromSeconds(100 + i), ref effects);
        Assert.Equal((Phase.Tripped, false, false), (state.Phase, state.HasForecast, state.HoldsOpen));
    }
}
