using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Screening;
using Evenwater.Core.Stations;

namespace Evenwater.CoreTests.Protection;

/// <summary>Each cause of a trip, alone, just below and at its limit.</summary>
public class TripCauseTests
{
    private static readonly MonotonicTime Now = MonotonicTime.FromSeconds(10_000);

    [Fact]
    public void Nothing_wrong_trips_nothing() => Assert.Equal(Trip.None, Of(_ => { }));

    [Theory] // 0.02 x (1 - 0.95 x chance that the waters are even)
    [InlineData(0, true, 0.02)]
    [InlineData(0.5, true, 0.0105)]
    [InlineData(1, true, 0.001)]
    [InlineData(1, false, 0.02)] // not even in temperature
    public void The_forecast_trips_above_its_limit_only(double even, bool temperaturesEven, double limit)
    {
        Trip At(double risk) => Of(s => (s.TemperaturesAreEven, s.LatestForecast) = (temperaturesEven, s.LatestForecast with { BrimProbability = risk, MatchedProbability = even }));
        Assert.Equal(Trip.None, At(0.999 * limit));
        Assert.Equal(Trip.OverflowForecast, At(1.001 * limit));
    }

    [Fact]
    public void Not_knowing_how_even_the_waters_are_trips() =>
        Assert.Equal(Trip.OverflowForecast, Of(s => (s.TemperaturesAreEven, s.LatestForecast) = (true, s.LatestForecast with { MatchedProbability = double.NaN })));

    [Fact]
    public void A_chance_that_is_no_number_trips() =>
        Assert.Equal(Trip.OverflowForecast, Of(s => s.LatestForecast = s.LatestForecast with { BrimProbability = double.NaN }));

    [Fact]
    public void A_blind_or_old_forecast_trips()
    {
        Assert.Equal(Trip.Blind, Of(s => s.LatestForecast = s.LatestForecast with { Health = Health.Blind }));
        Assert.Equal(Trip.None, Of(s => s.EvaluatedAt = Now.Plus(-120)));
        Assert.Equal(Trip.Blind, Of(s => s.EvaluatedAt = Now.Plus(-120.1)));
    }

    [Fact]
    public void Budgets_trip_when_they_are_used()
    {
        Assert.Equal(Trip.None, Of(s => s.OpenSeconds = (780 * 60) - 0.1));
        Assert.Equal(Trip.TimeBudget, Of(s => s.OpenSeconds = 780 * 60));
        Assert.Equal(Trip.None, Of(s => s.InflowLitres = 9.999));
        Assert.Equal(Trip.VolumeBudget, Of(s => s.InflowLitres = 10));
    }

    [Fact]
    public void The_source_trips_before_a_larger_volume_budget() => Assert.Equal(
        Trip.SourceDrawn,
        Of(s => s.InflowLitres = 4, station => station with { Source = station.Source with { MaxDrawLitres = 4 } }));

    [Theory]
    [InlineData(59, Trip.None)]
    [InlineData(61, Trip.LivestockLimit)]
    [InlineData(-61, Trip.LivestockLimit)]
    public void A_change_faster_than_the_animals_limit_trips(double perHour, Trip expected) => Assert.Equal(
        expected,
        Of(
            s =>
            {
                for (var t = 0; t <= 2000; t++)
                {
                    var at = MonotonicTime.FromSeconds(t);
                    s.ConductivityRate.Step(Reading.Of(400 + (perHour * t / 3600), at), at);
                }
            },
            station => station with { Limits = new Limits { MicrosiemensPerCmPerHour = 60 } }));

    [Theory]
    [InlineData(59, Trip.None)]
    [InlineData(61, Trip.LivestockLimit)]
    [InlineData(-61, Trip.LivestockLimit)]
    public void A_change_further_than_the_animals_limit_trips_however_slow(double step, Trip expected) => Assert.Equal(
        expected,
        Of(
            s => StepUp(s.ConductivityRate, 400, step),
            station => station with { Limits = new Limits { TotalMicrosiemensPerCm = 60 } }));

    [Theory]
    [InlineData(1.9, Trip.None)]
    [InlineData(-2.1, Trip.LivestockLimit)]
    public void So_does_one_in_temperature_by_the_limit_of_a_group(double step, Trip expected) => Assert.Equal(
        expected,
        Of(
            s => StepUp(s.TemperatureRate, 22, step),
            station => station with { Limits = new Limits { Group = AnimalGroup.FreshwaterPrawn, MicrosiemensPerCmPerHour = 1e5, CelsiusPerHour = 20 } }));

    /// <summary>A limit that cannot be watched is no limit: without one the forecast may go on by the flow it knows.</summary>
    [Theory]
    [InlineData(590, true, Trip.None)]
    [InlineData(660, true, Trip.Blind)]
    [InlineData(660, false, Trip.None)]
    public void A_conductivity_that_is_not_seen_for_ten_minutes_trips_where_the_animals_have_a_limit_for_it(int unseen, bool limited, Trip expected) => Assert.Equal(
        expected,
        Of(
            s =>
            {
                s.Estimator = new Estimator(new Prior { StartVolumeLitres = 2, BrimLitres = 12, FreeboardLitres = 1, FlowMillilitresPerMinute = 20, ToleranceMicrosiemensPerCm = 60 }, 1);
                for (var t = 0; t <= 120 + unseen; t++)
                {
                    var at = MonotonicTime.FromSeconds(t);
                    var readings = Readings.None();
                    readings[Channel.TankConductivity] = Reading.Of(200 + (t % 3), at);
                    readings[Channel.VesselConductivity] = t <= 120 ? Reading.Of(600 + (t % 3), at) : Reading.Missing(Reason.NoAnswer, at);
                    s.Estimator.Step(readings, valveOpen: true, at);
                }
            },
            station => station with { Limits = limited ? new Limits { TotalMicrosiemensPerCm = 500 } : new Limits() }));

    [Fact]
    public void A_gap_does_not_make_the_way_from_the_start_forgotten_and_a_new_run_does()
    {
        var watch = new RateWatch();
        StepUp(watch, 400, 60);
        Assert.Equal(60, watch.FromStart!.Value, 9);
        for (var t = 10_000; t <= 10_400; t++)
        {
            watch.Step(Reading.Of(490, MonotonicTime.FromSeconds(t)), MonotonicTime.FromSeconds(t));
            Assert.Equal(t >= 10_300, watch.FromStart is not null); // ten blocks of half a minute
        }

        Assert.Equal(90, watch.FromStart!.Value, 9);
        var copy = new RateWatch();
        watch.CopyTo(copy);
        Assert.Equal(90, copy.FromStart!.Value, 9);
        watch.Clear();
        Assert.Null(watch.FromStart);
    }

    /// <summary>A thermometer that gave no answer before the reading stopped does not hide that it has stopped.</summary>
    [Theory]
    [InlineData(Reason.None, 16, Trip.Blind)]
    [InlineData(Reason.NoAnswer, 16, Trip.Blind)]
    [InlineData(Reason.OutOfRange, 16, Trip.Blind)]
    [InlineData(Reason.NoAnswer, 14, Trip.None)] // it is read, and does not answer: the forecast goes on without it
    public void Probes_that_nobody_reads_any_more_trip_whatever_they_said_last(Reason thermometer, double age, Trip expected)
    {
        var state = new StationState(TestStation.Make()) { Phase = Phase.Dripping, EvaluatedAt = Now };
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Of(400, Now.Plus(-16));
        readings[Channel.VesselTemperature] = thermometer == Reason.None ? Reading.Of(20, Now.Plus(-age)) : Reading.Missing(thermometer, Now.Plus(-age));
        readings[Channel.FloatHigh] = Reading.Of(0, Now);
        Assert.Equal(expected, TripCause.Of(state, Screen.Apply(ref state.Screen, readings, Now), logCommits: true, Now));
    }

    /// <summary>Ten minutes at one value, then two hours at the other: slower than any rate by the time it is looked at.</summary>
    private static void StepUp(RateWatch watch, double from, double step)
    {
        for (var t = 0; t <= 7800; t++)
        {
            var at = MonotonicTime.FromSeconds(t);
            watch.Step(Reading.Of(t < 600 ? from : from + step, at), at);
        }
    }

    [Fact]
    public void Half_an_hour_must_be_seen_before_a_rate_is_told()
    {
        var watch = new RateWatch();
        for (var t = 0; t < 1790; t++)
        {
            watch.Step(Reading.Of(t, MonotonicTime.FromSeconds(t)), MonotonicTime.FromSeconds(t));
        }

        Assert.Null(watch.PerHour);
        for (var t = 1790; t < 1900; t++)
        {
            watch.Step(Reading.Of(t, MonotonicTime.FromSeconds(t)), MonotonicTime.FromSeconds(t));
        }

        // One unit a second is 3600 an hour.
        Assert.Equal(3600, watch.PerHour!.Value, 40.0);
    }

    private static Trip Of(Action<StationState> change, Func<Station, Station>? station = null)
    {
        var state = new StationState((station ?? (s => s))(TestStation.Make()))
        {
            Phase = Phase.Dripping,
            HasForecast = true,
            EvaluatedAt = Now,
            LatestForecast = new Forecast { At = Now },
        };
        change(state);
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Of(400, Now);
        readings[Channel.FloatHigh] = Reading.Of(0, Now);
        return TripCause.Of(state, readings, logCommits: true, Now);
    }
}
