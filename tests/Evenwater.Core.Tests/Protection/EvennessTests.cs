using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;

namespace Evenwater.CoreTests.Protection;

/// <summary>Even is 95 % sure and stays so for ten minutes; the nearer the mark, the less sure, and at once. TestStation: tripProbability as by default, 2 %.</summary>
public sealed class EvennessTests
{
    [Theory]
    [InlineData(0.96, 0.0, false, true, false)] // sure: waits for its ten minutes
    [InlineData(0.94, 0.0, false, false, false)] // not sure, and the mark is far
    [InlineData(0.94, 0.00085, false, false, false)] // two fifths of the risk that closes, 0.02 x (1 - 0.95 x 0.94) = 0.00214: not near yet
    [InlineData(0.87, 0.00174, false, true, true)] // half of it: 0.95 - 0.45 x 0.2 = 0.86
    [InlineData(0.85, 0.00192, false, false, false)]
    [InlineData(0.51, 0.0093, false, true, true)] // about to close: more likely even than not
    [InlineData(0.49, 0.0106, false, false, false)]
    [InlineData(0.94, 0.003, true, false, false)] // a trace whose valve nobody moves closes nothing
    public void Sure_is_what_the_mark_leaves_time_for(double matched, double brim, bool openLoop, bool even, bool closes)
    {
        var state = At(matched, brim, openLoop);
        Evenness.Judge(state, MonotonicTime.FromSeconds(1000));
        Assert.Equal((even, closes), (state.IsEven, state.WasEven));
    }

    /// <summary>It closes as planned in place of the trip; each of what that rests on is needed.</summary>
    [Theory]
    [InlineData(0.5, true, true, false, true)]
    [InlineData(0.49, true, true, false, false)]
    [InlineData(0.9, false, true, false, false)] // no forecast yet
    [InlineData(0.9, true, false, false, false)] // apart in temperature
    [InlineData(0.9, true, true, true, false)] // a trace
    public void Before_the_mark_it_closes_as_planned_when_it_is_more_likely_even_than_not(double matched, bool hasForecast, bool temperaturesEven, bool openLoop, bool closes)
    {
        var state = At(matched, 0, openLoop);
        (state.HasForecast, state.TemperaturesAreEven) = (hasForecast, temperaturesEven);
        Assert.Equal(closes, Evenness.ClosesBeforeMark(state));
    }

    [Fact]
    public void Waters_alike_from_the_start_are_judged_by_what_was_replaced_but_for_those_of_a_trace()
    {
        var (state, trace) = (At(0.9, 0), At(0.9, 0, openLoop: true));
        foreach (var one in new[] { state, trace }) one.LatestForecast = one.LatestForecast with { ReplacedProbability = 0.1, JudgedByReplacedFraction = true };
        Assert.Equal((0.1, 0.9), (Evenness.Likely(state), Evenness.Likely(trace)));
    }

    [Fact]
    public void After_ten_minutes_sure_it_closes_far_from_the_mark_too()
    {
        var state = At(0.96, 0);
        Evenness.Judge(state, MonotonicTime.FromSeconds(1000));
        Evenness.Judge(state, MonotonicTime.FromSeconds(1599));
        Assert.False(state.WasEven);
        Evenness.Judge(state, MonotonicTime.FromSeconds(1600));
        Assert.True(state.WasEven);
        Assert.False(state.ClosesNearMark);
    }

    [Fact]
    public void Closed_near_the_mark_it_says_how_sure_it_is_until_it_is_sure()
    {
        var state = At(0.83, 0.00296);
        Evenness.Judge(state, MonotonicTime.FromSeconds(1000));
        state.Phase = Phase.Holding;
        state.LatestForecast = state.LatestForecast with { BrimProbability = 0 };
        Evenness.Judge(state, MonotonicTime.FromSeconds(1030));
        Assert.True(state.IsEven);
        var say = Sentence.Of(state, null);
        Assert.Contains("Very likely even with the tank (83 %)", say.Text, StringComparison.Ordinal);
        Assert.StartsWith("Measure both waters", say.Act, StringComparison.Ordinal);
        state.LatestForecast = state.LatestForecast with { MatchedProbability = 0.97 };
        Evenness.Judge(state, MonotonicTime.FromSeconds(1060));
        Assert.Contains("may be released", Sentence.Of(state, null).Text, StringComparison.Ordinal);
        state.LatestForecast = state.LatestForecast with { MatchedProbability = 0.49 };
        Evenness.Judge(state, MonotonicTime.FromSeconds(1090));
        Assert.Contains("no longer", Sentence.Of(state, null).Text, StringComparison.Ordinal);
    }

    /// <summary>A station file may ask for no risk at all.</summary>
    [Fact]
    public void A_limit_of_no_risk_still_closes_as_even()
    {
        var station = TestStation.Make();
        var state = At(0.96, 0, station: station with { Safety = station.Safety with { TripProbability = 0 } });
        Evenness.Judge(state, MonotonicTime.FromSeconds(1000));
        Assert.True(state.IsEven);
    }

    /// <summary>Who draws water off and goes on wants to be surer than that: it must not close at once by what was enough before.</summary>
    [Fact]
    public void A_run_that_goes_on_with_room_again_must_be_sure_again()
    {
        var state = At(0.83, 0.00296);
        Evenness.Judge(state, MonotonicTime.FromSeconds(1000));
        Assert.True(state.ClosesNearMark);
        state.LatestForecast = state.LatestForecast with { BrimProbability = 0 };
        Evenness.Judge(state, MonotonicTime.FromSeconds(1030));
        Assert.Equal((false, false), (state.IsEven, state.ClosesNearMark));
    }

    private static StationState At(double matched, double brim, bool openLoop = false, Station? station = null)
    {
        var at = MonotonicTime.FromSeconds(1000);
        var readings = Readings.None();
        readings[Channel.TankTemperature] = Reading.Of(23, at);
        readings[Channel.VesselTemperature] = Reading.Of(22.5, at);
        readings[Channel.TankConductivity] = Reading.Of(185, at);
        return new(station ?? TestStation.Make())
        {
            OpenLoop = openLoop, Phase = Phase.Dripping, HasForecast = true, Readings = readings,
            LatestForecast = new Forecast { MatchedProbability = matched, BrimProbability = brim },
        };
    }
}
