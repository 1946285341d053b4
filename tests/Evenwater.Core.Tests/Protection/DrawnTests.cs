using CsCheck;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Protection;

/// <summary>Water drawn off by hand in a run: what the estimate makes of it, and that a claim widens no budget.</summary>
public class DrawnTests
{
    private static readonly Station _planned = TestStation.Make() with
    {
        DrawOffs = [new(3600, 4, 0.02), new(7200, 2, 0.02)],
        Safety = TestStation.Make().Safety with { MaxInflowLitres = 15 },
    };

    [Theory]
    [InlineData(Phase.Dripping)]
    [InlineData(Phase.Holding)]
    [InlineData(Phase.Tripped)]
    public void In_a_run_the_forecast_counts_with_it_whether_the_valve_is_open_or_closed(Phase phase)
    {
        var run = new Run(_planned);
        run.Seconds(1800);
        run.Bring(phase);
        run.Seconds(60);
        var before = run.State.Forecast.VolumeLitres.P50;
        Assert.Equal(EffectKind.DrawnOff, run.Draw(0.8));
        run.Seconds(60);
        Assert.Equal(before - 0.8, run.State.Forecast.VolumeLitres.P50, 0.08);
        Assert.Equal((phase, 1, 0.8), (run.State.Phase, run.State.DrawOffsTold, run.State.DrawnOffLitres));
    }

    [Fact]
    public void Outside_a_run_it_is_refused()
    {
        var state = new StationState(_planned);
        var effects = default(EffectBuffer);
        Cycle.Step(state, new Samples { Readings = Readings.None(), Command = Verb.Drawn, Drawn = new Drawn(1, 0.02), LogCommits = true }, default, ref effects);
        Assert.Equal((EffectKind.Refused, Refusal.WrongPhase), (effects[0].Kind, effects[0].Refusal));

        var run = new Run(_planned);
        run.Seconds(60);
        run.Ask(Verb.Finish);
        Assert.Equal(EffectKind.Refused, run.Draw(0.5));
        Assert.Equal((Refusal.WrongPhase, 0), (run.Refusal, run.State.DrawOffsTold));
    }

    [Theory] // known exactly, and not at all
    [InlineData(0)]
    [InlineData(1)]
    public void A_spread_of_nothing_or_of_all_of_it_is_taken(double sd)
    {
        var run = new Run(_planned);
        run.Seconds(135);
        Assert.Equal((EffectKind.DrawnOff, 1), (run.Draw(0.5, sd), run.State.DrawOffsTold));
    }

    [Theory]
    [InlineData(Phase.Armed, true, Refusal.None)] // begun, and about to open
    [InlineData(Phase.Idle, true, Refusal.WrongPhase)]
    [InlineData(Phase.Finished, true, Refusal.WrongPhase)]
    [InlineData(Phase.Holding, false, Refusal.WrongPhase)] // no estimate that could take it
    public void It_is_taken_from_the_begin_of_a_run_to_its_end(Phase phase, bool begun, Refusal refusal)
    {
        var (state, effects) = (new StationState(_planned), default(EffectBuffer));
        if (begun) state.Start(new RunStart(1, TestStation.Prior, 7), default);
        state.Phase = phase;
        DrawingOff.Take(state, new Drawn(0.5, 0.02), ref effects);
        Assert.Equal((refusal == Refusal.None ? EffectKind.DrawnOff : EffectKind.Refused, refusal), (effects[0].Kind, effects[0].Refusal));
    }

    [Theory]
    [InlineData(50, 0.02)]
    [InlineData(0, 0.02)]
    [InlineData(-1, 0.02)]
    [InlineData(double.NaN, 0.02)]
    [InlineData(double.PositiveInfinity, 0.02)]
    [InlineData(0.5, -0.1)]
    [InlineData(0.5, double.NaN)]
    [InlineData(0.5, 1.1)]
    public void What_can_not_have_been_there_is_refused_and_changes_nothing(double litres, double sd)
    {
        var run = new Run(_planned);
        run.Seconds(135); // in the middle of a block: no evaluation falls into the next second
        var before = run.State.Forecast.VolumeLitres;
        Assert.Equal(EffectKind.Refused, run.Draw(litres, sd));
        Assert.Equal((Refusal.NotThere, before), (run.Refusal, run.State.Forecast.VolumeLitres));
        Assert.Equal((0, 0.0, 0.0), (run.State.DrawOffsTold, run.State.DrawnOffLitres, run.State.RoomMadeLitres));
    }

    [Fact] // room 11.6 - 1.6 = 10 L; the station allows 15, planned draw-offs make 4 and 2 more
    public void The_budget_grows_only_as_planned_and_only_when_told()
    {
        var run = new Run(_planned);
        run.Seconds(3000);
        Assert.Equal(10, InflowBudget.Litres(run.State));
        run.Draw(1); // less than planned makes less room
        Assert.Equal(11, InflowBudget.Litres(run.State), 1e-12);
        run.Draw(1.2); // of 2 planned
        Assert.Equal(12.2, InflowBudget.Litres(run.State), 1e-12);
        run.Draw(0.1); // not planned
        Assert.Equal(12.2, InflowBudget.Litres(run.State), 1e-12);
    }

    [Fact]
    public void No_series_of_claims_widens_the_budget_beyond_the_station_files_own() =>
        Gen.Double[0.01, 100].Array[0, 12].Sample(
            claims =>
            {
                var (told, room) = (0, 0.0);
                foreach (var claim in claims)
                {
                    var credit = InflowBudget.Credit(_planned, told++, claim);
                    room += credit;
                    Assert.InRange(credit, 0, claim);
                }

                Assert.InRange(room, 0, 6);
            },
            iter: 2000, threads: 1);

    [Fact]
    public void A_station_that_plans_none_keeps_its_budget_whatever_is_claimed()
    {
        var run = new Run(TestStation.Make());
        run.Seconds(600);
        Assert.Equal(10, InflowBudget.Litres(run.State));
        Assert.Equal(EffectKind.DrawnOff, run.Draw(0.5));
        Assert.Equal(10, InflowBudget.Litres(run.State));
    }

    /// <summary>After a trip a run begins anew with what is in the vessel: 6 L of 11.6 leave 5.6, whatever the station file allows from 1.6 L on.</summary>
    [Theory]
    [InlineData(false, 1.6, 10)]
    [InlineData(false, 6, 5.6)]
    [InlineData(false, 0.8, 10)] // less water widens nothing
    [InlineData(true, 1.6, 10)]
    [InlineData(true, 6, 5.6)]
    public void What_was_in_the_vessel_at_the_start_is_no_room_for_more(bool planned, double startLitres, double budgetLitres)
    {
        var state = new StationState(planned ? _planned : TestStation.Make());
        state.Start(new RunStart(1, TestStation.Prior with { StartVolumeLitres = startLitres }, 7), default);
        Assert.Equal(budgetLitres, InflowBudget.Litres(state), 1e-9);
        (state.Phase, state.InflowLitres) = (Phase.Dripping, budgetLitres + 0.01);
        Assert.Equal(Trip.VolumeBudget, TripCause.Spent(state));
    }

    /// <summary>By hand: a pipe at 8 L over a catch vessel of 6 holds 14; of them 3 are there at the start, 1.6 in the file.</summary>
    [Fact]
    public void A_standpipe_and_its_catch_vessel_are_room_too()
    {
        var station = TestStation.Make();
        var piped = station with { Vessel = station.Vessel with { Mode = VesselMode.Standpipe, StandpipeLitres = 8, CatchLitres = 6 }, Safety = station.Safety with { MaxInflowLitres = 12 } };
        var state = new StationState(piped);
        state.Start(new RunStart(1, TestStation.Prior with { StartVolumeLitres = 3 }, 7), default);
        Assert.Equal(14 - 1.6, InflowBudget.RoomLitres(piped.Vessel), 1e-9);
        Assert.Equal(14 - 3, InflowBudget.Litres(state), 1e-9);
    }

    [Fact]
    public void A_draw_off_that_is_not_told_closes_at_the_rooms_end_and_one_that_is_told_does_not()
    {
        Assert.Equal((Phase.Tripped, Trip.VolumeBudget), AfterInflow(10.01, told: false));
        Assert.Equal((Phase.Dripping, Trip.None), AfterInflow(10.01, told: true));
        Assert.Equal((Phase.Tripped, Trip.VolumeBudget), AfterInflow(11.01, told: true));

        static (Phase Phase, Trip Trip) AfterInflow(double litres, bool told)
        {
            var run = new Run(_planned, forecastAside: true);
            run.Seconds(120);
            if (told)
            {
                run.Draw(1);
            }

            run.State.InflowLitres = litres;
            run.Seconds(1);
            return (run.State.Phase, run.State.Trip);
        }
    }

    /// <summary>A run that drips, on made-up readings that dilute as a fill does.</summary>
    private sealed class Run
    {
        private EffectBuffer _effects;
        private double _seconds = 100;
        private double _litres = 1.6;

        public Run(Station station, bool forecastAside = false)
        {
            State = new StationState(station)
            {
                Causes = (StationState state, in Readings readings, bool log, MonotonicTime now) =>
                    TripCause.Of(state, readings, log, now) is var cause && (forecastAside && cause == Trip.OverflowForecast) ? Trip.None : cause,
            };
            Step(Verb.Begin, committed: false);
            Step(Verb.None, committed: true);
            Assert.Equal(Phase.Dripping, State.Phase);
        }

        public StationState State { get; }

        public Refusal Refusal { get; private set; }

        public void Seconds(double seconds)
        {
            for (var i = 0; i < seconds; i++)
            {
                Step(Verb.None, committed: false);
            }
        }

        public void Ask(Verb verb) => Step(verb, committed: false);

        public void Bring(Phase phase)
        {
            if (phase == Phase.Holding)
            {
                Ask(Verb.Close);
            }
            else if (phase == Phase.Tripped)
            {
                Step(Verb.None, committed: false, leak: true);
            }

            Assert.Equal(phase, State.Phase);
        }

        public EffectKind Draw(double litres, double sd = 0.02)
        {
            Step(Verb.Drawn, committed: false, drawn: new Drawn(litres, sd));
            for (var i = 0; i < _effects.Count; i++)
            {
                if (_effects[i].Kind is EffectKind.DrawnOff or EffectKind.Refused)
                {
                    Refusal = _effects[i].Refusal;
                    return _effects[i].Kind;
                }
            }

            return default;
        }

        private void Step(Verb verb, bool committed, bool leak = false, Drawn drawn = default)
        {
            _seconds++;
            var open = State.Phase == Phase.Dripping;
            _litres += open ? 0.015 / 60 : 0;
            var now = MonotonicTime.FromSeconds(_seconds);
            var dither = _seconds % 2 == 0 ? 0.05 : -0.05;
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of(185 + (225 * 1.6 / _litres) + dither, now);
            readings[Channel.TankConductivity] = Reading.Of(185 - dither, now);
            readings[Channel.Leak] = Reading.Of(leak ? 1 : 0, now);
            var samples = new Samples
            {
                Readings = readings,
                ValveOpen = open,
                Command = verb,
                Drawn = drawn,
                Start = verb == Verb.Begin ? new RunStart(1, TestStation.Prior, 7) : null,
                OpeningCommitted = committed,
                LogCommits = true,
            };
            Cycle.Step(State, samples, now, ref _effects);
        }
    }
}
