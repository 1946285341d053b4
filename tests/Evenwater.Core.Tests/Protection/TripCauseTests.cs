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

    [Theory] // in shares of the limit; a paced run goes by it all the time, and closes a tenth beyond it
    [InlineData(0.99, false, Trip.None)]
    [InlineData(1.01, false, Trip.LivestockLimit)]
    [InlineData(-1.01, false, Trip.LivestockLimit)]
    [InlineData(1.09, true, Trip.None)]
    [InlineData(-1.11, true, Trip.LivestockLimit)]
    public void A_change_faster_than_the_animals_limit_trips(double share, bool paced, Trip expected)
    {
        Trip At(Func<StationState, RateWatch> watch, double limit) => Of(
            s =>
            {
                s.Run = new RunStart(1, TestStation.Prior, 7);
                for (var t = 0; t <= 2000; t++)
                {
                    var at = MonotonicTime.FromSeconds(t);
                    watch(s).Step(Reading.Of(400 + (share * limit * t / 3600), at), at);
                }
            },
            station => station with { Limits = new Limits { MicrosiemensPerCmPerHour = 60, CelsiusPerHour = 2 }, Pacing = paced ? new() { Path = PacePath.Line, OverHours = 8 } : null });
        Assert.Equal(expected, At(s => s.ConductivityRate, 60));
        Assert.Equal(expected, At(s => s.TemperatureRate, 2));
    }

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
    [InlineData(590, 500.0, null, Trip.None)]
    [InlineData(660, 500.0, null, Trip.Blind)]
    [InlineData(660, null, 60.0, Trip.Blind)]
    [InlineData(660, null, null, Trip.None)]
    public void A_conductivity_that_is_not_seen_for_ten_minutes_trips_where_the_animals_have_a_limit_for_it(int unseen, double? total, double? perHour, Trip expected) => Assert.Equal(
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
            station => station with { Limits = new Limits { TotalMicrosiemensPerCm = total, MicrosiemensPerCmPerHour = perHour } }));

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

    /// <summary>A switch, the drops that the cycle counts by itself, what looks at the tank alone and what is not fitted do not hide that no probe is read any more.</summary>
    [Theory]
    [InlineData(Channel.FloatHigh, Reason.None)]
    [InlineData(Channel.Drops, Reason.None)]
    [InlineData(Channel.TankLight, Reason.None)]
    [InlineData(Channel.TankTemperature, Reason.NotFitted)]
    public void What_is_no_probe_of_the_run_does_not_say_that_they_are_read(Channel fresh, Reason reason)
    {
        var state = new StationState(TestStation.Make()) { Phase = Phase.Dripping, EvaluatedAt = Now };
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Of(400, Now.Plus(-16));
        readings[fresh] = reason == Reason.None ? Reading.Of(0, Now) : Reading.Missing(reason, Now);
        Assert.Equal(Trip.Blind, TripCause.Of(state, readings, logCommits: true, Now));
        readings[Channel.TankTemperature] = Reading.Of(23, Now);
        Assert.Equal(Trip.None, TripCause.Of(state, readings, logCommits: true, Now));
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

    /// <summary>Wet, silent or uncommitted: each alone keeps it shut, whatever else is well.</summary>
    [Theory]
    [InlineData(Channel.FloatHigh, 1.0)]
    [InlineData(Channel.FloatHigh, null)]
    [InlineData(Channel.Leak, 1.0)]
    [InlineData(Channel.Leak, null)]
    [InlineData(Channel.FloatLow, null)]
    public void A_switch_that_is_wet_or_lost_is_not_clear(Channel channel, double? value)
    {
        var readings = Well();
        Assert.True(TripCause.IsClear(readings, logCommits: true));
        Assert.False(TripCause.IsClear(readings, logCommits: false));
        readings[Channel.FloatLow] = Reading.Of(1, Now); // it hangs below the water
        Assert.True(TripCause.IsClear(readings, logCommits: true));
        readings[channel] = value is { } wet ? Reading.Of(wet, Now) : Reading.Missing(Reason.NoAnswer, Now);
        Assert.False(TripCause.IsClear(readings, logCommits: true));
    }

    /// <summary>A run opens only while all that it rests on answers. What is not fitted need not, nor the light over the tank.</summary>
    [Fact]
    public void Nothing_opens_on_a_probe_that_does_not_answer()
    {
        Assert.True(TripCause.IsFresh(Well()));
        Assert.Equal(
            [Channel.TankLight],
            Enum.GetValues<Channel>().Where(channel =>
            {
                var readings = Well();
                readings[channel] = Reading.Missing(Reason.Stale, Now);
                return TripCause.IsFresh(readings);
            }));
        Assert.Equal(
            Enum.GetValues<Channel>().Except([Channel.VesselConductivity]),
            Enum.GetValues<Channel>().Where(channel =>
            {
                var readings = Well();
                readings[channel] = Reading.Missing(Reason.NotFitted, Now);
                return TripCause.IsFresh(readings);
            }));
    }

    private static Readings Well()
    {
        var readings = Readings.None();
        foreach (var channel in Enum.GetValues<Channel>()) readings[channel] = Reading.Of(0, Now);
        return readings;
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
