using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Pacing;

/// <summary>What the animals see is the water's own, known here; the drip is a plain stirred fill (its equations are in the textbooks of every stirred tank).</summary>
public class PacerTests
{
    private const int HalfHour = 1800;

    /// <summary>1.6 L, 225 µS/cm apart, 45 mL/min: unpaced that begins at 380 µS/cm an hour. The limit is 100.</summary>
    private static readonly Limits Gentle = new() { MicrosiemensPerCmPerHour = 100, CelsiusPerHour = 5 };

    [Fact]
    public void The_limit_is_kept_and_nearly_used_and_without_pacing_it_is_broken()
    {
        var paced = Fastest(new PacedWorld(PacedWorld.Paced(Gentle)), 2.2);
        Assert.InRange(paced, 90, 100);
        Assert.InRange(Fastest(new PacedWorld(PacedWorld.Paced(Gentle) with { Pacing = null, Limits = new() }), 1), 200, 400);
    }

    [Fact]
    public void A_surge_to_three_times_and_a_clog_to_a_third_are_met_by_other_pulses()
    {
        foreach (var factor in new[] { 3.0, 0.34 })
        {
            var world = new PacedWorld(PacedWorld.Paced(Gentle));
            var fastest = Fastest(world, 2, at => world.Factor = at > 3000 ? factor : 1);
            Assert.InRange(fastest, 85, 103);
        }
    }

    /// <summary>In sea water 0.4 % of a reading is as much as the path goes in ten minutes: a path that scatter alone pulls back led nowhere, and ended no night.</summary>
    [Theory]
    [InlineData(46_000, 52_000, 1300)]
    [InlineData(410, 185, 100)]
    public void A_probe_that_scatters_neither_holds_the_path_back_nor_drives_it_on(double vessel, double tank, double limit)
    {
        double After(double scatter)
        {
            var world = new PacedWorld(PacedWorld.Paced(new() { MicrosiemensPerCmPerHour = limit }), vessel: vessel, tank: tank, scatter: scatter);
            Run(world, 2 * 3600);
            Assert.Equal(Phase.Dripping, world.State.Phase);
            return Math.Abs(world.MicrosiemensPerCm - vessel);
        }

        Assert.InRange(After(0.004), 0.9 * After(0), Math.Min(1.05 * After(0), 2 * limit));
    }

    [Fact]
    public void The_temperature_is_held_back_as_the_conductivity_is()
    {
        // 1.5 °C apart at half a degree an hour: half of that in the first hour.
        var world = new PacedWorld(PacedWorld.Paced(new() { CelsiusPerHour = 0.5 }));
        var before = world.Celsius;
        Run(world, HalfHour * 2);
        Assert.InRange(world.Celsius - before, 0.40, 0.52);
    }

    [Fact]
    public void A_straight_line_over_six_hours_is_a_sixth_each_hour()
    {
        var world = new PacedWorld(PacedWorld.Paced(new(), new() { Path = PacePath.Line, OverHours = 6 }));
        for (var hour = 1; hour <= 3; hour++)
        {
            Run(world, 3600, begin: hour == 1);
            Assert.Equal(410 - (225.0 / 6 * hour), world.MicrosiemensPerCm, 3.0);
        }
    }

    /// <summary>0.95 x 60 µS/cm at 0.95 x 100 an hour are 36 min. There it would rest all night, with the animals in water that is not even: somebody is called.</summary>
    [Fact]
    public void It_goes_no_further_than_the_limit_of_the_whole_run_and_says_so()
    {
        var world = new PacedWorld(PacedWorld.Paced(new() { MicrosiemensPerCmPerHour = 100, TotalMicrosiemensPerCm = 60 }));
        Run(world, 60 * 45);
        Assert.InRange(410 - world.MicrosiemensPerCm, 52, 60);
        Assert.False(world.Open);
        Assert.Equal(Phase.Dripping, world.State.Phase);
        Run(world, 60 * 20, begin: false);
        Assert.InRange(410 - world.MicrosiemensPerCm, 52, 60);
        Assert.Equal((Phase.Tripped, Trip.LivestockLimit), (world.State.Phase, world.State.Trip));
    }

    /// <summary>225 µS/cm lie between the waters and 0.95 x 60 may be gone, so the match at 40 is never reached, whatever the drip gives; up to 300 it is.</summary>
    [Theory]
    [InlineData(60, true)]
    [InlineData(300, false)]
    public void No_match_is_told_that_the_limit_of_the_whole_run_does_not_let_come(double total, bool never)
    {
        var world = new PacedWorld(PacedWorld.Paced(new() { MicrosiemensPerCmPerHour = 100, TotalMicrosiemensPerCm = total }));
        Run(world, 60 * 25);
        Assert.Equal(Phase.Dripping, world.State.Phase);
        Assert.Equal(never, double.IsPositiveInfinity(world.State.Forecast.MatchSeconds.P05));
        Assert.Equal(never, double.IsPositiveInfinity(world.State.Forecast.BrimSeconds.P05));
        Assert.Equal(new Core.Estimation.Quantiles(0, 0, 0, 0, 0), world.State.Forecast.TemperatureMatchSeconds); // it is within the tolerance from the start
        var said = Core.Telling.Sentence.Of(world.State, null);
        Assert.Equal(never, said.Text.StartsWith("It will not be even in this run: the tank lies beyond what may change in one, 57 µS/cm as this station is paced. The vessel does not come to its mark", StringComparison.Ordinal));
        Assert.Equal(never ? "Leave the animals so when it has closed, and go on another day." : "Nothing to do.", said.Act);
    }

    /// <summary>1.5 °C apart, 0.95 x 1 may be gone: the valve rests there, and the conductivity, which is not limited, is not even either.</summary>
    [Fact]
    public void Nor_one_that_the_temperature_s_limit_does_not_let_come()
    {
        var world = new PacedWorld(PacedWorld.Paced(new() { CelsiusPerHour = 0.5, TotalCelsius = 1 }) with { Room = new() { TemperatureCelsius = 23 } });
        Run(world, 60 * 25);
        Assert.True(double.IsPositiveInfinity(world.State.Forecast.MatchSeconds.P50), $"{world.State.Forecast.MatchSeconds}");
        Assert.Contains("0.95 °C as this station is paced", Core.Telling.Sentence.Of(world.State, null).Text, StringComparison.Ordinal);
    }

    /// <summary>Of the conductivity only the way is limited, so the path is at its end from the first second on; the water is not. A limit that the tank does not lie beyond, 225 µS/cm away, ends nothing.</summary>
    [Theory]
    [InlineData(60, Trip.LivestockLimit)]
    [InlineData(300, Trip.None)]
    public void A_path_has_ended_where_the_water_has_come_so_far_and_not_before(double total, Trip trip)
    {
        var world = new PacedWorld(PacedWorld.Paced(new() { CelsiusPerHour = 0.5, TotalMicrosiemensPerCm = total }));
        Run(world, 3600 * 2, at =>
            Assert.True(410 - world.MicrosiemensPerCm > 40 || world.State.Pacer.EndedSeconds(MonotonicTime.FromSeconds(101 + at)) == 0, $"{world.MicrosiemensPerCm} after {at} s"));
        Assert.Equal(trip, world.State.Trip);
    }

    /// <summary>At its end it closes after ten minutes, since it gets no nearer; where the waters are even by then it makes sure, and closes as even.</summary>
    [Fact]
    public void A_path_that_has_ended_in_even_waters_trips_nothing()
    {
        var world = new PacedWorld(PacedWorld.Paced(new() { CelsiusPerHour = 0.5, TotalMicrosiemensPerCm = 60 }));
        var state = world.State;
        world.Step(Verb.Begin);
        for (var at = 0; at < 7200 && state.Pacer.EndedSeconds(state.LastStepAt) < 10; at++) world.Step();
        var ended = state.LastStepAt.Plus(-state.Pacer.EndedSeconds(state.LastStepAt));
        Assert.Equal(Trip.None, At(600, even: false));
        Assert.Equal(Trip.LivestockLimit, At(601, even: false));
        Assert.Equal(Trip.None, At(601, even: true));

        Trip At(double seconds, bool even)
        {
            var now = ended.Plus(seconds);
            (state.IsEven, state.EvaluatedAt) = (even, now);
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of(350, now);
            return TripCause.Of(state, readings, logCommits: true, now);
        }
    }

    [Theory]
    [InlineData(10, 20)]
    [InlineData(30, 8)]
    [InlineData(3, 120)]
    public void No_pulse_and_no_rest_is_shorter_than_the_least_and_no_more_begin_than_the_valve_may(double least, double most)
    {
        var world = new PacedWorld(PacedWorld.Paced(Gentle, new() { Path = PacePath.Limits, LeastPulseSeconds = least, MostPulsesPerHour = most }), 90);
        var turns = new List<(int At, bool Open)>();
        Run(world, 5400, at =>
        {
            if (turns.Count == 0 ? world.Open : turns[^1].Open != world.Open)
            {
                turns.Add((at, world.Open));
            }
        });
        var begun = turns.Where(t => t.Open).Select(t => t.At).ToList();
        Assert.True(begun.Count > 5, $"{begun.Count} pulses");
        Assert.Equal(begun.Count, world.State.Pulses);
        Assert.All(turns.Zip(turns.Skip(1)), pair => Assert.True(pair.Second.At - pair.First.At >= least, $"{pair}"));
        Assert.All(begun, first => Assert.InRange(begun.Count(at => at >= first && at < first + 3600), 1, (int)most));
    }

    [Fact]
    public void Without_the_vessels_probe_it_rests()
    {
        var world = new PacedWorld(PacedWorld.Paced(Gentle));
        Run(world, 600);
        while (!world.Open)
        {
            world.Step();
        }

        world.ProbeLost = true;
        Run(world, 10, begin: false); // a reading is good for some seconds
        Assert.False(world.Open);
        Assert.Equal(Phase.Dripping, world.State.Phase);
        var before = world.MicrosiemensPerCm;
        Run(world, 120, begin: false);
        Assert.Equal(before, world.MicrosiemensPerCm);
    }

    [Fact]
    public void A_wet_float_closes_in_the_midst_of_a_pulse_and_trips()
    {
        var world = new PacedWorld(PacedWorld.Paced(Gentle));
        Run(world, 60);
        while (!world.Open)
        {
            world.Step();
        }

        world.HighWet = true;
        world.Step();
        Assert.False(world.Open);
        Assert.Equal(Trip.HighFloat, world.State.Trip);
    }

    /// <summary>A sentence stands for half a minute: beside a valve that rests since it had said that it is open.</summary>
    [Fact]
    public void What_is_told_says_how_fast_it_goes_and_nothing_that_is_over_with_the_pulse()
    {
        var world = new PacedWorld(PacedWorld.Paced(Gentle));
        var told = new HashSet<string>();
        Run(world, 1200, at => told.Add(Core.Telling.Sentence.Of(world.State, null).Did));
        Assert.Contains(told, did => did.StartsWith("The valve opens in pulses, so that the water changes by at most 95 µS/cm and 4.75 °C an hour. It closes by itself when even", StringComparison.Ordinal));
        Assert.DoesNotContain(told, did => did.Contains("it is open", StringComparison.Ordinal) || did.Contains("rests now", StringComparison.Ordinal));
    }

    [Fact]
    public void The_time_budget_counts_the_pulses_and_trips_in_a_paced_run()
    {
        var station = PacedWorld.Paced(Gentle);
        var world = new PacedWorld(station with { Safety = station.Safety with { MaxOpenMinutes = 10 } });
        var opened = 0;
        Run(world, 3600 * 2, _ => opened += world.Open ? 1 : 0);
        Assert.Equal(Trip.TimeBudget, world.State.Trip);
        Assert.InRange(opened, 595, 605);
    }

    [Fact]
    public void A_run_begun_unpaced_holds_the_valve_open()
    {
        var world = new PacedWorld(PacedWorld.Paced(new() { CelsiusPerHour = 0.3 }));
        world.Step(Verb.Begin, unpaced: true);
        world.Step();
        for (var i = 0; i < 600; i++)
        {
            world.Step();
            Assert.True(world.Open);
        }
    }

    /// <summary>The estimator alone reckons with an open valve; the pace decides here.</summary>
    [Fact]
    public void The_forecast_counts_the_rests()
    {
        var slow = new Limits { MicrosiemensPerCmPerHour = 30 };
        var (paced, open) = (new PacedWorld(PacedWorld.Paced(slow)), new PacedWorld(PacedWorld.Paced(slow) with { Pacing = null, Limits = new() }));
        Run(paced, 3600);
        Run(open, 900);

        // By hand, 0.95 x 30 = 28.5 an hour, 2.7 L/h, V d = 360: the limit holds back until V = sqrt(2.7 x 360 / 28.5) = 5.84 L, d = 61.6, after (225 - 61.6) / 28.5 = 5.73 h;
        // from there the drip alone, to 9 L in 1.17 h more; together 6.90 h, of which one is gone.
        Assert.InRange(paced.State.Forecast.MatchSeconds.P50 / 3600, 5.6, 6.2);
        Assert.InRange(open.State.Forecast.MatchSeconds.P50 / 3600, 2, 3.2); // 7.4 L at 2.7 L/h are 2.7 h
    }

    private static double Fastest(PacedWorld world, double hours, Action<int>? each = null)
    {
        var seen = new List<double>();
        Run(world, (int)(hours * 3600), at =>
        {
            each?.Invoke(at);
            seen.Add(world.MicrosiemensPerCm);
        });

        // As the station's own watch counts: two means of five minutes, 25 minutes apart; a pulse is no step.
        const int mean = 300;
        return Enumerable.Range(0, (seen.Count - HalfHour) / 60).Max(i => seen.Skip(i * 60).Take(mean).Average() - seen.Skip((i * 60) + HalfHour - mean).Take(mean).Average()) * 3600 / (HalfHour - mean);
    }

    private static void Run(PacedWorld world, int seconds, Action<int>? each = null, bool begin = true)
    {
        for (var i = 0; i < seconds; i++)
        {
            world.Step(begin && i == 0 ? Verb.Begin : Verb.None);
            each?.Invoke(i);
        }
    }
}
