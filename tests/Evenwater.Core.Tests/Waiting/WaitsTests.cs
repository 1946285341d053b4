using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Core.Waiting;
using Evenwater.CoreTests.Protection;
using static Evenwater.CoreTests.Waiting.StillWater;

namespace Evenwater.CoreTests.Waiting;

/// <summary>Worked by hand from the sources that Core.Water names.</summary>
public class WaitsTests
{
    /// <summary>
    /// Two fish of 50 g at 25 °C use exp(15.7 - 5020 / 298.15) = 0.3207 mmol/h each, 20.5 mg/h together (Clarke and Johnston 1999). 9 L at 8.26 mg/L (USGS tables of oxygen, 25 °C, fresh) have
    /// 29.4 mg above 5: 1.43 h, so 0.72 to 2.87.
    /// </summary>
    [Fact]
    public void Oxygen_lasts_as_long_as_by_hand_and_the_shorter_end_counts()
    {
        var state = At(25, 25, room: 25, animals: new Animals(2, 100));
        var wait = Waits.Of(state)!.Value;
        Assert.Equal(WaitEnd.Oxygen, wait.End);
        Assert.Equal(0.717, wait.OxygenHours!.Value.Low, 0.01);
        Assert.Equal(1.43, wait.OxygenHours.Value.Middle, 0.02);
        Assert.Equal(2.87, wait.OxygenHours.Value.High, 0.04);
        Assert.Equal(0.717 * 3600, wait.Seconds, 30.0);
        state.LastStepAt = Stood.Plus(3600);
        Assert.Equal((0.717 - 1) * 3600, Waits.Of(state)!.Value.Seconds, 30.0);
        Assert.StartsWith("Let the animals in now: the oxygen of 9.0 L lasts 100 g of animals 0.7 to 2.9 h", Waits.Sentence(state, Waits.Of(state)!.Value, null), StringComparison.Ordinal);
    }

    /// <summary>9 L at 1.5 W/K: 9 x 1.158 / 1.5 = 6.95 h; from 23 towards 16 °C it is at 21.5 after 6.95 ln(7 / 5.5) = 1.68 h.</summary>
    [Fact]
    public void The_vessel_leaves_the_tank_s_temperature_when_it_would_by_hand()
    {
        var cooling = Waits.Of(At(23, 23, room: 16))!.Value;
        Assert.Equal(WaitEnd.Warmth, cooling.End);
        Assert.Equal(1.676 * 3600, cooling.Seconds, 20.0);
        Assert.Equal(double.PositiveInfinity, Waits.WarmthSeconds(At(23, 23, room: 22))); // never further away than the room
        Assert.Equal(0, Waits.WarmthSeconds(At(21.4, 23, room: 16)));
        Assert.Null(Waits.WarmthSeconds(At(23, null, room: 16)));
        Assert.Equal(6.948 * Math.Log(7 / 4.0) * 3600, Waits.WarmthSeconds(At(23, 24.5, room: 30))!.Value, 40.0); // from 23, room 30, to 24.5 + 1.5 = 26
    }

    [Fact]
    public void Without_the_animals_mass_it_can_not_be_told_and_somebody_is_to_look_after_six_hours()
    {
        foreach (var animals in new[] { null, new Animals(18) })
        {
            var state = At(23, 23, room: 23, animals);
            var wait = Waits.Of(state)!.Value;
            Assert.Equal((WaitEnd.NobodyKnows, 6 * 3600.0, null), (wait.End, wait.Seconds, wait.OxygenHours));
            Assert.Contains("can't be told", Waits.Basis(state, wait), StringComparison.Ordinal);
            Assert.Equal(animals is not null, Waits.Basis(state, wait).Contains("18 of 0.1 to 5 g each", StringComparison.Ordinal));
        }
    }

    /// <summary>As above: 9 L, 100 g, 25 °C, which is the room's and warmer than the tank.</summary>
    [Fact]
    public void A_thermometer_that_is_lost_makes_the_time_no_longer_and_is_told()
    {
        var state = At(25, 23, room: 25, animals: new Animals(2, 100));
        var (readings, before) = (state.Readings, Waits.Of(state)!.Value.OxygenHours);
        readings[Channel.VesselTemperature] = Reading.Missing(Reason.NoAnswer, Stood);
        state.Readings = readings;
        var wait = Waits.Of(state)!.Value;
        Assert.Equal((WaitEnd.Oxygen, before), (wait.End, wait.OxygenHours));
        Assert.EndsWith("from the air; the vessel's thermometer gives no good reading, so 25 °C is taken", Waits.Basis(state, wait), StringComparison.Ordinal);
    }

    /// <summary>The other way round: the room is the colder, or the tank's thermometer is lost too and the room is all that is known.</summary>
    [Theory]
    [InlineData(25.0, 20)]
    [InlineData(null, 25)]
    public void A_lost_thermometer_is_taken_for_the_warmer_of_what_the_vessel_lies_between(double? tank, double room)
    {
        var (known, lost) = (At(25, 25, room: 25, animals: new Animals(2, 100)), At(25, tank, room, animals: new Animals(2, 100)));
        var readings = lost.Readings;
        readings[Channel.VesselTemperature] = Reading.Missing(Reason.NoAnswer, Stood);
        lost.Readings = readings;
        Assert.Equal(Waits.Of(known)!.Value.OxygenHours, Waits.Of(lost)!.Value.OxygenHours);
    }

    /// <summary>
    /// As by hand above: sea water of salinity 35, 53.07 mS/cm at 25 °C (PSS-78), holds 6.75 mg/L (Benson and Krause 1984): 9 L have 15.8 mg above 5, 0.77 h. What is beyond the scale is taken for 40, which
    /// the table of oxygen ends at: 6.56 mg/L, 0.68 h.
    /// </summary>
    [Theory]
    [InlineData(53_071, 0.77)]
    [InlineData(150_000, 0.685)]
    public void Sea_water_holds_less_oxygen(double microsiemensPerCm, double hours)
    {
        var state = At(25, 25, room: 25, animals: new Animals(2, 100));
        var readings = state.Readings;
        readings[Channel.VesselConductivity] = Reading.Of(microsiemensPerCm, Stood);
        state.Readings = readings;
        Assert.Equal(hours, Waits.Of(state)!.Value.OxygenHours!.Value.Middle, 0.02);
    }

    [Fact]
    public void After_a_cut_of_which_nobody_knows_how_long_it_was_the_time_is_over()
    {
        var state = At(25, 25, room: 25, animals: new Animals(2, 100));
        state.StoodLonger = true;
        var wait = Waits.Of(state)!.Value;
        Assert.Equal((0, WaitEnd.CutUnknown), (wait.Seconds, wait.End));
        Assert.StartsWith("Let the animals in now: how long they have stood in still water can't be told", Waits.Sentence(state, wait, null), StringComparison.Ordinal);
    }

    [Fact] // a proof test drips into a cup
    public void A_proof_test_has_no_animals_to_wait_for()
    {
        var state = At(23, 23, room: 23);
        Assert.NotNull(Waits.Of(state));
        state.Run = state.Run! with { ProofTest = true };
        Assert.Null(Waits.Of(state));
    }

    [Fact] // before the first forecast the run's own 1.6 L count, of 9: 1.43 x 1.6 / 9 h. Of no water nothing is told
    public void The_water_is_what_the_run_began_with_until_a_forecast_tells_more()
    {
        var state = At(25, 25, room: 25, animals: new Animals(2, 100));
        state.HasForecast = false;
        Assert.Equal(1.43 * 1.6 / 9, Waits.Of(state)!.Value.OxygenHours!.Value.Middle, 0.004);
        (state.HasForecast, state.LatestForecast) = (true, state.Forecast with { VolumeLitres = new(0, 0, 0, 0, 0) });
        Assert.Null(Waits.Of(state)!.Value.OxygenHours);
        Assert.Null(Waits.WarmthSeconds(state));
    }

    [Theory] // 29.4 mg over 0.0711 mg/h an animal of 0.1 g, as below: 413 h of one, 103 of four, 51.7 of eight, each from half to twice that
    [InlineData(1, @"lasts 0\.1 g of animals more than 100 h of standing still")]
    [InlineData(4, @"lasts 0\.4 g of animals 5[12](\.\d)? to more than 100 h of standing still")]
    [InlineData(16, @"lasts 1\.6 g of animals 1[23](\.\d)? to 5[12](\.\d)? h of standing still")]
    public void More_than_a_hundred_hours_are_no_promise(int count, string told)
    {
        var state = At(25, 25, room: 25, animals: new Animals(count, 0.1 * count));
        Assert.Matches(told, Waits.Basis(state, Waits.Of(state)!.Value));
    }

    [Theory] // the ranges that can be told: 0 to 35 °C, 0.01 g to 10 kg each
    [InlineData(0, 50, true)]
    [InlineData(-0.1, 50, false)]
    [InlineData(35, 50, true)]
    [InlineData(35.1, 50, false)]
    [InlineData(25, 0.01, true)]
    [InlineData(25, 0.0099, false)]
    [InlineData(25, 10_000, true)]
    [InlineData(25, 10_001, false)]
    public void Oxygen_is_told_within_its_ranges_and_at_their_ends(double celsius, double grams, bool told) =>
        Assert.Equal(told, Waits.OxygenHours(At(celsius, celsius, room: celsius), grams, 1) is not null);

    /// <summary>
    /// As by hand above, 29.4 mg above 5 at 25 °C: 18 of 5 g use exp(15.7 - 5020/298.15) x 32 x (5/50)^0.8 = 1.63 mg/h each, so 1.0 h and half of that at the least; 18 of 0.1 g
    /// use (0.1/50)^0.8 = 0.00693 of 10.3, 0.0711 mg/h each, 23 h and twice that at the most.
    /// </summary>
    [Fact]
    public void Animals_nobody_weighed_are_told_a_range_from_heavy_to_light()
    {
        var state = At(25, 25, room: 25, new Animals(18));
        var told = System.Text.RegularExpressions.Regex.Match(Waits.Basis(state, Waits.Of(state)!.Value), @"each: ([0-9.]+) to ([0-9.]+) h");
        Assert.Equal(0.50, double.Parse(told.Groups[1].Value, System.Globalization.CultureInfo.InvariantCulture), 0.06);
        Assert.Equal(46, double.Parse(told.Groups[2].Value, System.Globalization.CultureInfo.InvariantCulture), 2.0);
    }

    [Fact]
    public void Nobody_is_told_that_a_mass_is_missing_that_was_told()
    {
        var state = At(23, 23, room: 23, new Animals(1000, 2)); // 2 mg each
        var wait = Waits.Of(state)!.Value;
        Assert.Equal((WaitEnd.NobodyKnows, 6 * 3600.0), (wait.End, wait.Seconds));
        Assert.StartsWith("how long the oxygen lasts can't be told of animals so small", Waits.Basis(state, wait), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(Phase.Idle, false)]
    [InlineData(Phase.Dripping, false)]
    [InlineData(Phase.Holding, true)]
    [InlineData(Phase.Tripped, true)]
    [InlineData(Phase.Finished, false)]
    public void There_is_something_to_wait_for_only_while_water_stands_still_in_a_run(Phase phase, bool waits)
    {
        var state = At(23, 23, room: 23);
        state.Phase = phase;
        Assert.Equal(waits, Waits.Of(state) is not null);
    }

    [Fact]
    public void The_sentence_of_an_even_vessel_says_by_when_and_why()
    {
        var state = At(23, 23, room: 16);
        (state.WasEven, state.IsEven) = (true, true);
        var say = Sentence.Of(state, new DateTimeOffset(2026, 3, 14, 4, 0, 0, TimeSpan.Zero));
        Assert.Contains("Let the animals in by 05:40: the vessel drifts to the room's 16 °C", say.Text, StringComparison.Ordinal);
        Assert.Equal(1.676 * 3600, say.WithinSeconds!.Value, 20.0);
        Assert.Contains("Let the animals in by 05:42:", Sentence.Of(state, new DateTimeOffset(2026, 3, 14, 4, 2, 0, TimeSpan.Zero)).Text, StringComparison.Ordinal); // a deadline, so never the 05:45 that it is nearest to
        var berlin = TimeZoneInfo.FindSystemTimeZoneById("Europe/Berlin"); // at 03:00 clocks are put back to 02:00
        Assert.Contains("Let the animals in by 02:40:", Sentence.Of(state, new DateTimeOffset(2026, 10, 25, 2, 0, 0, TimeSpan.FromHours(2)), berlin).Text, StringComparison.Ordinal);
    }

    /// <summary>A minute after it was closed the alarm of the still drip took its place, and nothing told of the time any more until an hour before it.</summary>
    [Fact]
    public void An_alarm_over_still_water_takes_the_time_to_let_them_in_from_nobody()
    {
        var state = At(23, 23, room: 16);
        state.Alarms[(int)AlarmId.DripStopped] = new AlarmState { Standing = AlarmStanding.Unacknowledged, ActiveSince = state.LastStepAt };
        var say = Sentence.Of(state, new DateTimeOffset(2026, 3, 14, 4, 0, 0, TimeSpan.Zero));
        Assert.Equal("The drip stands still and the waters are not even. Let the animals in by 05:40.", say.Text);

        // Nor that they are even, which is what who is to let them in wants to know first.
        state.Alarms = default;
        (state.WasEven, state.IsEven) = (true, true);
        state.Alarms[(int)AlarmId.ReleaseDue] = new AlarmState { Standing = AlarmStanding.Unacknowledged, ActiveSince = state.LastStepAt };
        Assert.Equal(
            "The animals have waited in still water for nearly as long as they should. Even with the tank; the animals may be released. Let the animals in by 05:40.",
            Sentence.Of(state, new DateTimeOffset(2026, 3, 14, 4, 0, 0, TimeSpan.Zero)).Text);
    }

    [Fact] // by hand as above: a hundredth of the animals has a hundred times as long and, being smaller, 100^-0.2 = 0.4 of that: 29 h at the shorter end
    public void More_than_a_day_is_no_time_to_be_there_by()
    {
        var state = At(25, 25, room: 25, animals: new Animals(2, 1));
        Assert.StartsWith("There is more than a day to let the animals in: the oxygen of 9.0 L lasts 1 g of animals 28.", Waits.Sentence(state, Waits.Of(state)!.Value, null), StringComparison.Ordinal);
        var few = At(25, 25, room: 25, animals: new Animals(2, 0.1)); // 180 h
        Assert.Contains("lasts 0.1 g of animals more than 100 h of standing still", Waits.Sentence(few, Waits.Of(few)!.Value, null), StringComparison.Ordinal);
    }

    [Fact]
    public void What_has_drifted_apart_is_told_as_apart()
    {
        var state = At(21.2, 23, room: 16, wasEven: true);
        Assert.Equal("Let the animals in now: the vessel differs from the tank by 1.5 °C and more by now.", Waits.Sentence(state, Waits.Of(state)!.Value, null));
    }

    [Theory]
    [InlineData(5 * 3600, "The drip has run for as long as allowed. Let the animals in by 05:00.")]
    [InlineData(6 * 3600, "The drip has run for as long as allowed. Let the animals in now.")]
    public void A_trip_says_by_when_as_well(int stoodSeconds, string said)
    {
        var state = At(23, 23, room: 23);
        (state.Phase, state.Trip, state.LastStepAt) = (Phase.Tripped, Trip.TimeBudget, state.StoodSince.Plus(stoodSeconds));
        Assert.Equal(said, Sentence.Of(state, new DateTimeOffset(2026, 3, 14, 4, 0, 0, TimeSpan.Zero)).Text);
    }

    [Fact]
    public void The_steps_tell_how_much_water_to_refill_and_what_like()
    {
        var state = At(23, 23.04, room: 23, wasEven: true);
        (state.IsEven, state.InflowLitres) = (true, 7.44);
        var steps = ReleaseSteps.Of(state);
        Assert.Equal(8, steps.Count);
        Assert.Equal("The waters are even.", steps[0]);
        Assert.Contains("Never pour", steps[2], StringComparison.Ordinal);
        Assert.EndsWith("It is asked for until it is noted, for 30 days at most.", steps[^1], StringComparison.Ordinal); // Arrivals.AskedDays
        Assert.StartsWith("Refill the tank with 7.4 L, by which it has fallen some 16 mm: as the tank is, 185 µS/cm at 25 °C and 23.0 °C.", steps[4], StringComparison.Ordinal); // 7.44 L on 0.48 m2 = 15.5 mm
        var readings = state.Readings;
        readings[Channel.TankConductivity] = Reading.Missing(Reason.NoAnswer, Stood);
        state.Readings = readings;
        Assert.Contains(": as the tank is, 23.0 °C. Slowly", ReleaseSteps.Of(state)[4], StringComparison.Ordinal);
        readings[Channel.TankTemperature] = Reading.Missing(Reason.NoAnswer, Stood);
        state.Readings = readings;
        Assert.Contains(": as the tank is, which no probe tells just now: measure it. Slowly", ReleaseSteps.Of(state)[4], StringComparison.Ordinal);
        state.InflowLitres = 0.19; // 0.4 mm
        Assert.StartsWith("Refill the tank with 0.2 L, by which it has fallen less than 1 mm: ", ReleaseSteps.Of(state)[4], StringComparison.Ordinal);
        state.InflowLitres = 0.04;
        Assert.Equal("The tank gave hardly any water.", ReleaseSteps.Of(state)[4]);
        foreach (var (was, isEven) in new[] { (true, false), (false, true) })
        {
            (state.WasEven, state.IsEven) = (was, isEven);
            Assert.Contains("NOT known to be even", ReleaseSteps.Of(state)[0], StringComparison.Ordinal);
        }

        state.Phase = Phase.Dripping;
        Assert.Equal(8, ReleaseSteps.Of(state).Count);
        state.Phase = Phase.Idle;
        Assert.Empty(ReleaseSteps.Of(state));
    }

    /// <summary>Five of the six hours have passed since the last drop, whatever the station was asked meanwhile: none of it gives the animals oxygen.</summary>
    [Theory]
    [InlineData("trip and reset")]
    [InlineData("restart")]
    [InlineData("opening that came to nothing")]
    public void The_water_stands_still_from_when_the_valve_was_last_open(string meanwhile)
    {
        var world = new Turns();
        world.Go(1, Verb.Begin);
        world.Go(1, committed: true);
        for (var i = 0; i < 60; i++)
        {
            world.Go(1, open: true);
        }

        switch (meanwhile)
        {
            case "trip and reset":
                world.Go(1, leak: true);
                world.Go(5 * 3600, Verb.Reset);
                break;
            case "restart":
                world.Go(5 * 3600, Verb.Restarted);
                break;
            default:
                world.Go(1, Verb.Close);
                world.Go((5 * 3600) - 62, Verb.Begin);
                Assert.Equal(Phase.Armed, world.State.Phase);
                world.Go(61);
                break;
        }

        Assert.Equal(Phase.Holding, world.State.Phase);
        var wait = Waits.Of(world.State)!.Value;
        Assert.Equal(WaitEnd.NobodyKnows, wait.End);
        Assert.Equal(3600, wait.Seconds, 5.0);
    }

    /// <summary>Whole cycles of a station with good probes.</summary>
    private sealed class Turns
    {
        private MonotonicTime _now = Stood;
        private EffectBuffer _effects;

        public StationState State { get; } = new(TestStation.Make());

        public void Go(double seconds, Verb verb = Verb.None, bool open = false, bool committed = false, bool leak = false)
        {
            _now = _now.Plus(seconds);
            var readings = Readings.None();
            readings[Channel.VesselConductivity] = Reading.Of(400 + (_now.Seconds % 7), _now);
            readings[Channel.Leak] = Reading.Of(leak ? 1 : 0, _now);
            var samples = new Samples
            {
                Readings = readings, ValveOpen = open, Command = verb, OpeningCommitted = committed, LogCommits = true,
                Start = verb == Verb.Begin ? new RunStart(1, TestStation.Prior, 7) : null,
            };
            Cycle.Step(State, samples, _now, ref _effects);
        }
    }
}
