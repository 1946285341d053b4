using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;
using Evenwater.CoreTests.Protection;

namespace Evenwater.CoreTests.Telling;

/// <summary>The words follow from the numbers.</summary>
public class SentenceTests
{
    private static readonly DateTimeOffset TenPast22 = new(2026, 3, 1, 22, 10, 0, TimeSpan.Zero);

    [Fact]
    public void A_forecast_is_told_as_a_time_with_its_range_and_the_mark_beside_it()
    {
        var say = Sentence.Of(Dripping(match: new(13500, 15000, 16200, 18000, 20400), brim: new(24900, 27000, 28800, 31000, 35000)), TenPast22);
        Assert.Equal(StateWord.Steady, say.Word);
        Assert.Equal(
            "Even with the tank at about 02:40 (between 01:55 and 03:50). The vessel would reach its mark at about 06:10, 05:05 at the earliest.",
            say.Text);
    }

    /// <summary>By hand: 16,345 s after 22:10:00 it is 02:42:25, told as 02:40; from 20 s later on it would be 02:42:45, told as 02:45. It said both, as other words were due.</summary>
    [Fact]
    public void A_moment_stays_the_same_however_often_a_forecast_is_told()
    {
        var state = Dripping(match: new(13500, 15000, 16345, 18000, 20400), brim: new(5000, 6000, 7000, 8000, 9000));
        var first = Sentence.Of(state, TenPast22);
        Assert.Contains("at about 02:40 ", first.Text, StringComparison.Ordinal);
        state.LastStepAt = state.LastStepAt.Plus(20);
        var again = Sentence.Of(state, TenPast22.AddSeconds(20));
        Assert.Equal(first with { WithinSeconds = 4980 }, again);
        state.LatestForecast = state.LatestForecast with { BrimSeconds = new(100, 6000, 7000, 8000, 9000) };
        Assert.Contains(", 1 min from now at the earliest.", Sentence.Of(state, null).Text, StringComparison.Ordinal); // 80 s
    }

    [Fact]
    public void Without_a_clock_spans_are_told() =>
        Assert.Contains("4 h 30 min from now", Sentence.Of(Dripping(new(13500, 15000, 16200, 18000, 20400), Quantiles.Never), null).Text, StringComparison.Ordinal);

    [Fact]
    public void Without_a_clock_it_closes_in_a_span_and_not_at_one()
    {
        var state = Dripping(Quantiles.Never, Quantiles.Never);
        (state.IsEven, state.EvenSince) = (true, state.LastStepAt);
        Assert.StartsWith("Even with the tank now; set to close 10 min from now if it stays so.", Sentence.Of(state, null).Text, StringComparison.Ordinal);
        Assert.StartsWith("Even with the tank now; set to close at 22:20 if it stays so.", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    [Fact] // it dwells for ten minutes
    public void While_it_is_even_the_time_left_is_told_and_a_mark_to_come_hurries_nobody()
    {
        var state = Dripping(Quantiles.Never, new(24900, 27000, 28800, 31000, 35000));
        (state.IsEven, state.EvenSince) = (true, state.LastStepAt.Plus(-240));
        var say = Sentence.Of(state, null);
        Assert.Equal((StateWord.Steady, "Nothing to do."), (say.Word, say.Act));
        Assert.StartsWith("Even with the tank now; set to close 6 min from now if it stays so.", say.Text, StringComparison.Ordinal);
        state.EvenSince = state.LastStepAt.Plus(-600);
        Assert.StartsWith("Even with the tank. ", Sentence.Of(state, null).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_range_too_wide_is_no_answer()
    {
        var say = Sentence.Of(Dripping(match: new(1000, 3000, 9000, 20000, 60000), brim: Quantiles.Never), TenPast22);
        Assert.Equal(StateWord.CannotTell, say.Word);
        Assert.Contains("can't be told", say.Text, StringComparison.Ordinal);
    }

    /// <summary>Its water ran into a cup: there were no waters to be even, and no animals to look at.</summary>
    [Theory]
    [InlineData(Phase.Finished)]
    [InlineData(Phase.Abandoned)]
    public void After_a_proof_test_no_run_is_said_to_have_ended(object phase)
    {
        var state = Dripping(Quantiles.Never, Quantiles.Never);
        (state.Phase, state.Run) = ((Phase)phase, new RunStart(1, TestStation.Prior, 7) { ProofTest = true });
        Assert.Equal(new Say(StateWord.Steady, "The proof test has ended; no run is under way.", "The valve is closed.", "Nothing to do."), Sentence.Of(state, TenPast22));
        state.Run = state.Run with { ProofTest = null };
        Assert.Contains("after 24 hours", Sentence.Of(state, TenPast22).Act, StringComparison.Ordinal);
    }

    /// <summary>Even is sure from 0.95 on, and the alarm calls them no longer even at 0.5 and takes it back above 0.8: between is less sure, and a lost probe tells nothing.</summary>
    [Theory]
    [InlineData(0.94, Health.Ok, false, "less sure")]
    [InlineData(0.51, Health.Ok, false, "less sure")]
    [InlineData(0.5, Health.Ok, false, "is no longer")]
    [InlineData(0.81, Health.Ok, true, "less sure")]
    [InlineData(0.79, Health.Ok, true, "is no longer")]
    [InlineData(0.94, Health.Blind, false, "can't be told")]
    public void Waters_that_were_even_are_said_to_be_so_no_longer_only_when_that_is_known(double likely, Health health, bool already, string said)
    {
        var state = Dripping(Quantiles.Never, Quantiles.Never);
        (state.Phase, state.WasEven) = (Phase.Holding, true);
        state.LatestForecast = state.LatestForecast with { MatchedProbability = likely, Health = health };
        var readings = state.Readings;
        readings[Channel.TankTemperature] = Reading.Missing(Reason.NotFitted, state.LastStepAt);
        readings[Channel.TankConductivity] = Reading.Of(185, state.LastStepAt);
        state.Readings = readings;
        state.Alarms[(int)AlarmId.NoLongerEven] = new AlarmState { Active = already };
        Assert.Contains(said, Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    /// <summary>On a page that a keeper has just begun from, three lines that became one would move what is below them.</summary>
    [Fact]
    public void What_is_done_is_told_before_the_first_forecast_as_after_it()
    {
        var state = Dripping(Quantiles.Never, Quantiles.Never);
        var after = Sentence.Of(state, TenPast22);
        state.HasForecast = false;
        var before = Sentence.Of(state, TenPast22);
        Assert.StartsWith("The drip has begun", before.Text, StringComparison.Ordinal);
        Assert.Equal((after.Did, after.Act), (before.Did, before.Act));
    }

    /// <summary>At the edge of what can be told the range is too wide at one evaluation and not at the next: the word does not change with each.</summary>
    [Fact]
    public void A_match_that_could_not_be_told_is_told_again_when_it_could_be_for_five_minutes()
    {
        Quantiles wide = new(1000, 3000, 9000, 20000, Quantiles.Beyond), narrow = new(3000, 6000, 9000, 12000, 15000);
        var state = Dripping(narrow, Quantiles.Never);
        Assert.Equal(StateWord.Steady, After(0, narrow)); // the first answer of a run waits for nothing
        Assert.Equal(StateWord.CannotTell, After(30, wide));
        Assert.Equal(StateWord.CannotTell, After(60, narrow));
        Assert.Contains("can't be told", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
        Assert.Equal(StateWord.CannotTell, After(90, wide));
        Assert.Equal(StateWord.CannotTell, After(389, narrow));
        Assert.Equal(StateWord.Steady, After(390, narrow));

        // What needs no time is told at once: even already, or never.
        Assert.Equal(StateWord.CannotTell, After(420, wide));
        Assert.Equal(StateWord.Steady, After(450, new(0, 0, 0, 600, 1800)));
        Assert.Equal(StateWord.CannotTell, After(480, wide));
        Assert.Equal(StateWord.Steady, After(510, Quantiles.Never));

        StateWord After(double seconds, Quantiles match)
        {
            var at = MonotonicTime.FromSeconds(seconds);
            (state.LastStepAt, state.LatestForecast) = (at, state.LatestForecast with { At = at, MatchSeconds = match });
            var noticed = state.Noticed;
            noticed.Note(state.Forecast);
            state.Noticed = noticed;
            return Sentence.Of(state, TenPast22).Word;
        }
    }

    [Fact]
    public void Each_probe_is_kept_with_the_time_of_its_own_last_trouble()
    {
        var noticed = default(Core.Telling.Noticed);
        Assert.Equal((null, null), (noticed.VesselProbe, noticed.TankProbe));
        foreach (var (at, events) in new[] { (30, ForecastEvents.ProbeVessel), (60, ForecastEvents.ProbeTank), (90, ForecastEvents.None) })
        {
            noticed.Note(new Forecast { At = MonotonicTime.FromSeconds(at), Events = events });
        }

        Assert.Equal((MonotonicTime.FromSeconds(30), MonotonicTime.FromSeconds(60)), (noticed.VesselProbe, noticed.TankProbe));
        Assert.Null(noticed.Flow);
    }

    [Fact]
    public void A_mark_before_the_match_asks_for_an_act_by_its_earliest_time()
    {
        var say = Sentence.Of(Dripping(match: new(40000, 45000, 50000, 55000, 60000), brim: new(24900, 27000, 28800, 31000, 35000)), TenPast22);
        Assert.Equal(StateWord.Look, say.Word);
        Assert.Equal(24900, say.WithinSeconds);
        Assert.Contains("draw some water off", say.Act, StringComparison.Ordinal);
    }

    [Fact]
    public void Reached_but_not_sure_is_not_blamed_on_the_temperature()
    {
        var state = Dripping(match: new(0, 0, 0, 600, 1800), brim: Quantiles.Never);
        state.TemperaturesAreEven = true;
        Assert.Contains("until that is sure", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
        state.TemperaturesAreEven = false;
        Assert.Contains("the temperature is not even yet", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    /// <summary>Who closes the valve while it is said to be even is not told that it is not.</summary>
    [Fact]
    public void Closed_before_it_is_sure_that_they_stay_even_the_waters_are_not_said_to_be_uneven()
    {
        var state = Dripping(Quantiles.Never, Quantiles.Never);
        (state.Phase, state.IsEven) = (Phase.Holding, true);
        Assert.StartsWith("The drip stands still. The waters are even now; that they stay so is not sure yet.", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
        state.IsEven = false;
        Assert.StartsWith("The drip stands still before the waters are even.", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    /// <summary>Said again every few minutes, and clipped at nought, the time to act had moved along with the clock: at 20:32 "by 20:32" beside the alarm's "by 20:15", and an hour for a still drip that never came.</summary>
    [Fact]
    public void By_when_is_the_same_moment_however_often_it_is_said()
    {
        var state = Dripping(Quantiles.Never, Quantiles.Never);
        state.LastStepAt = MonotonicTime.FromSeconds(2 * 3600);
        (state.Phase, state.Trip, state.PhaseSince) = (Phase.Tripped, Trip.HighFloat, MonotonicTime.FromSeconds(600));
        Assert.Equal(600 + (60 * AlarmTable.Of(AlarmId.HighFloat).ActWithinMinutes) - (2 * 3600), Sentence.Of(state, TenPast22).WithinSeconds);

        (state.Phase, state.Trip) = (Phase.Holding, Trip.None);
        Assert.Equal(600 + 3600 - (2 * 3600), Sentence.Of(state, TenPast22).WithinSeconds);

        state.Phase = Phase.Dripping;
        state.Alarms[(int)AlarmId.DripSlow] = new AlarmState { Standing = AlarmStanding.Unacknowledged, ActiveSince = MonotonicTime.FromSeconds(1200) };
        Assert.Equal(1200 + (60 * AlarmTable.Of(AlarmId.DripSlow).ActWithinMinutes) - (2 * 3600), Sentence.Of(state, TenPast22).WithinSeconds);
    }

    /// <summary>What can wait for a day does not hide how a run stands; of what can not the gravest is told, and of equals the first of the table.</summary>
    [Theory]
    [InlineData(StateWord.Look, AlarmId.DripSlow, AlarmId.DripSlow, AlarmId.DiskNearlyFull)]
    [InlineData(StateWord.Act, AlarmId.OverflowWarning, AlarmId.DripSlow, AlarmId.OverflowWarning)]
    [InlineData(StateWord.Act, AlarmId.OverflowWarning, AlarmId.OverflowWarning, AlarmId.DiskNearlyFull)]
    [InlineData(StateWord.Look, AlarmId.DripSlow, AlarmId.DripSlow, AlarmId.ProofOverdue)]
    [InlineData(StateWord.Steady, null, AlarmId.ProofOverdue, AlarmId.WeeklyTest)]
    public void Of_several_alarms_the_gravest_leads(object word, object? told, object one, object other)
    {
        var state = Dripping(new(13500, 15000, 16200, 18000, 20400), Quantiles.Never);
        foreach (var id in new[] { (AlarmId)one, (AlarmId)other })
        {
            state.Alarms[(int)id] = new AlarmState { Standing = AlarmStanding.Unacknowledged, ActiveSince = state.LastStepAt };
        }

        var say = Sentence.Of(state, TenPast22);
        Assert.Equal((StateWord)word, say.Word);
        Assert.StartsWith(told is null ? "Even with the tank at about 02:40" : $"{AlarmTable.Of((AlarmId)told).Title}. Even with the tank at about 02:40", say.Text, StringComparison.Ordinal); // the forecast stays beside it
        state.Phase = Phase.Finished;
        Assert.StartsWith(AlarmTable.Of((AlarmId)(told ?? one)).Title, Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal); // then a low one is told too
        foreach (var id in new[] { (AlarmId)one, (AlarmId)other })
        {
            state.Alarms[(int)id] = default;
        }

        state.Alarms[(int)AlarmId.WeeklyTest] = new AlarmState { Standing = AlarmStanding.Unacknowledged, ActiveSince = state.LastStepAt };
        Assert.StartsWith("The run is finished.", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal); // and a test never
    }

    /// <summary>Who ended a run early was answered to look at the animals, and told on the page and over MQTT that there is nothing to do.</summary>
    [Theory]
    [InlineData(Phase.Finished)]
    [InlineData(Phase.Abandoned)]
    public void Who_has_ended_a_run_is_told_when_to_look_at_the_animals(Phase ended)
    {
        var state = Dripping(Quantiles.Never, Quantiles.Never);
        state.Phase = ended;
        Assert.Contains("after 24 hours and after 7 days", Sentence.Of(state, TenPast22).Act, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_phase_and_trip_has_its_sentence_and_no_number_is_broken()
    {
        foreach (var phase in Enum.GetValues<Phase>())
        {
            foreach (var trip in Enum.GetValues<Trip>().Where(t => phase == Phase.Tripped ? t != Trip.None : t == Trip.None))
            {
                var state = Dripping(Quantiles.Never, Quantiles.Never);
                (state.Phase, state.Trip) = (phase, trip);
                var say = Sentence.Of(state, TenPast22);
                Assert.Equal(phase == Phase.Tripped, say.Word == StateWord.Act);
                Assert.All([say.Text, say.Did, say.Act], text => Assert.DoesNotMatch("NaN|Infinity|∞|-[0-9]", text));
                Assert.All([say.Text, say.Did, say.Act], Assert.NotEmpty);
            }
        }
    }

    private static StationState Dripping(Quantiles match, Quantiles brim) => new(TestStation.Make())
    {
        Phase = Phase.Dripping,
        HasForecast = true,
        LatestForecast = new Forecast
        {
            VolumeLitres = new(2, 2, 2, 2, 2),
            FlowMillilitresPerMinute = new(15, 15, 15, 15, 15),
            MatchSeconds = match,
            BrimSeconds = brim,
        },
    };
}
