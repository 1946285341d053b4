using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Core.Waiting;
using static Evenwater.CoreTests.Waiting.StillWater;

namespace Evenwater.CoreTests.Waiting;

/// <summary>What calls over water that stands still, and when it is over.</summary>
public class StillWaterAlarmTests
{
    /// <summary>At 21.6 °C on its way from 23 to the room's 16 °C it is apart within minutes; then its thermometer falls silent.</summary>
    [Fact]
    public void A_call_to_let_them_in_does_not_go_because_the_thermometer_that_told_it_is_lost()
    {
        var world = new AlarmWorldOf(At(21.6, 23, room: 16, wasEven: true));
        world.Go(120);
        Assert.Equal([AlarmId.ReleaseDue], world.Calls);
        var readings = world.State.Readings;
        readings[Channel.VesselTemperature] = Reading.Missing(Reason.NoAnswer, Stood);
        world.State.Readings = readings;
        world.Go(300);
        Assert.True(world.State.AlarmOf(AlarmId.ReleaseDue).Active);
        readings[Channel.VesselTemperature] = Reading.Of(23, Stood);
        world.State.Readings = readings;
        world.Go(120);
        Assert.False(world.State.AlarmOf(AlarmId.ReleaseDue).Active);
    }

    /// <summary>The sentence said "Let the animals in now", and beside it stood an hour for it.</summary>
    [Theory]
    [InlineData(21.2, 0, 0)] // apart by more than the tolerance already
    [InlineData(23, 5 * 3600 + 1800, 1800)] // the program was away: half an hour of the six is left
    public void What_is_to_be_done_by_then_is_not_told_for_later_than_the_animals_are_to_be_in(double celsius, double stood, double left)
    {
        var world = new AlarmWorldOf(At(celsius, 23, room: 23 - (23 - celsius) * 2, wasEven: true));
        for (var i = 0; i < 62; i++)
        {
            world.State.StoodSince = world.State.LastStepAt.Plus(1 - stood);
            world.Go(1);
        }

        Assert.True(world.State.AlarmOf(AlarmId.ReleaseDue).Stands);
        var say = Sentence.Of(world.State, new DateTimeOffset(2026, 3, 14, 4, 0, 0, TimeSpan.Zero));
        Assert.Contains(left > 0 ? "Let the animals in by 04:30." : "Let the animals in now.", say.Text, StringComparison.Ordinal);
        Assert.Equal(left, say.WithinSeconds!.Value, 1.0);
        Assert.Equal(left, AlarmSentence.By(AlarmTable.Of(AlarmId.ReleaseDue), world.State)!.Value.SecondsSince(world.State.LastStepAt), 1.0);
    }

    /// <summary>Called an hour before they should be in (6 h without a mass), and gone only where there is a quarter of an hour more than that.</summary>
    [Fact]
    public void The_call_to_let_them_in_comes_an_hour_before_and_goes_a_quarter_above_that()
    {
        var world = new AlarmWorldOf(At(23, 23, room: 23, wasEven: true));
        AlarmAt(5 * 3600 - 1, false);
        AlarmAt(5 * 3600, true);
        AlarmAt(5 * 3600 - 900, true);
        AlarmAt(5 * 3600 - 901, false);
        var readings = world.State.Readings;
        readings[Channel.TankTemperature] = Reading.Missing(Reason.NotFitted, Stood);
        world.State.Readings = readings;
        AlarmAt(5 * 3600, true);
        AlarmAt(0, false); // what is not fitted is not lost

        void AlarmAt(double stood, bool due)
        {
            for (var i = 0; i < 62; i++)
            {
                world.State.StoodSince = world.State.LastStepAt.Plus(1 - stood);
                world.Go(1);
            }

            Assert.Equal((stood, due), (stood, world.State.AlarmOf(AlarmId.ReleaseDue).Active));
        }
    }

    /// <summary>Closed by the keeper in the first hour: 3 °C below the tank and in a room that brings them nearer. To let the animals in is what they were to be spared.</summary>
    [Theory]
    [InlineData(22.5)]
    [InlineData(16)]
    public void Animals_whose_water_never_was_even_are_not_to_be_let_in_because_it_is_not(double room)
    {
        var state = At(20, 23, room, new Animals(2, 100));
        Assert.Equal(WaitEnd.Oxygen, Waits.Of(state)!.Value.End);
        Assert.DoesNotContain("drifts", Sentence.Of(state, null).Text, StringComparison.Ordinal);
        var world = new AlarmWorldOf(At(20, 23, room));
        world.Go(120);
        Assert.DoesNotContain(AlarmId.ReleaseDue, world.Calls);
    }

    /// <summary>A trip takes no animal out of the vessel.</summary>
    [Theory]
    [InlineData(Phase.Holding)]
    [InlineData(Phase.Tripped)]
    public void It_calls_an_hour_before_the_time_is_over_and_again_until_they_are_let_in(Phase phase)
    {
        var world = new AlarmWorldOf(At(23, 23, room: 23));
        (world.State.Phase, world.State.Trip) = (phase, phase == Phase.Tripped ? Trip.TimeBudget : Trip.None);
        world.Go(5 * 3600 - 10);
        Assert.Empty(world.Calls);
        world.Go(120);
        Assert.Equal([AlarmId.ReleaseDue], world.Calls);
        (world.State.Phase, world.State.Trip) = (Phase.Finished, Trip.None);
        world.Go(120);
        Assert.NotEqual(AlarmStanding.Unacknowledged, world.State.AlarmOf(AlarmId.ReleaseDue).Standing);
    }

    [Fact]
    public void Waters_that_were_even_and_are_no_longer_call_after_five_minutes_and_not_for_a_flicker()
    {
        var state = At(23, 23, room: 23);
        state.WasEven = true;
        var world = new AlarmWorldOf(state);
        state.LatestForecast = state.LatestForecast with { MatchedProbability = 0.4 };
        world.Go(200);
        state.LatestForecast = state.LatestForecast with { MatchedProbability = 0.9 };
        world.Go(20);
        Assert.Empty(world.Calls);
        state.LatestForecast = state.LatestForecast with { MatchedProbability = 0.5 };
        world.Go(310);
        Assert.Equal([AlarmId.NoLongerEven], world.Calls);
        state.LatestForecast = state.LatestForecast with { MatchedProbability = 0.7 };
        world.Go(400);
        Assert.True(state.AlarmOf(AlarmId.NoLongerEven).Active); // within the deadband
        state.LatestForecast = state.LatestForecast with { MatchedProbability = 0.9 };
        world.Go(400);
        Assert.False(state.AlarmOf(AlarmId.NoLongerEven).Active);
    }

    [Fact]
    public void A_full_disk_does_not_hide_that_waters_are_no_longer_even()
    {
        var state = At(23, 23, room: 23, wasEven: true);
        var world = new AlarmWorldOf(state) { LogCommits = false };
        state.LatestForecast = state.LatestForecast with { MatchedProbability = 0.4 };
        world.Go(310);
        Assert.Equal([AlarmId.LogLost, AlarmId.NoLongerEven], world.Calls);
    }

    [Fact]
    public void A_vessel_that_has_cooled_is_no_longer_even_whatever_its_salts()
    {
        var state = At(21.4, 23, room: 16);
        state.WasEven = true;
        Assert.False(EvenStill.No(state, already: false)); // 1.6 apart: within tolerance and two tenths
        Assert.True(EvenStill.No(state, already: true));
        Assert.True(EvenStill.No(At(21.2, 23, room: 16, wasEven: true), already: false));
        Assert.Null(EvenStill.No(At(21.2, null, room: 16, wasEven: true), already: false));
        Assert.False(EvenStill.No(At(21.2, 23, room: 16), already: false)); // never was even: that is another alarm
    }

    /// <summary>Alarms stepped once a second on a state whose readings are set by hand.</summary>
    private sealed class AlarmWorldOf(StationState state)
    {
        private EffectBuffer _effects;

        public StationState State => state;

        public List<AlarmId> Calls { get; } = [];

        public bool LogCommits { get; init; } = true;

        public void Go(int seconds)
        {
            for (var i = 0; i < seconds; i++)
            {
                state.LastStepAt = state.LastStepAt.Plus(1);
                _effects.Clear();
                AlarmRound.Step(state, new Samples { LogCommits = LogCommits }, false, state.LastStepAt, ref _effects);
                for (var e = 0; e < _effects.Count; e++)
                {
                    if (_effects[e].Calls && _effects[e].Alarm is not (AlarmId.DripStopped or AlarmId.TimeBudget))
                    {
                        Calls.Add(_effects[e].Alarm);
                    }
                }
            }
        }
    }
}
