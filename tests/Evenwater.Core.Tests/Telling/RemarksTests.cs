using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;
using Evenwater.CoreTests.Protection;

namespace Evenwater.CoreTests.Telling;

/// <summary>What is said beside the forecast, and why something can't be told.</summary>
public sealed class RemarksTests
{
    private static readonly DateTimeOffset TenPast22 = new(2026, 3, 1, 22, 10, 0, TimeSpan.Zero);
    private static readonly Quantiles Tonight = new(13500, 15000, 16200, 18000, 20400);
    private static readonly Quantiles Late = new(24900, 27000, 28800, 31000, 35000);
    private static readonly Quantiles Wide = new(1000, 3000, 9000, 20000, 60000);

    [Theory]
    [InlineData(ForecastEvents.FlowUp, 2.94, " The drip became about 2.9 times as fast; noticed at 22:05.")]
    [InlineData(ForecastEvents.FlowDown, 0.333, " The drip fell to about 33 % of what it was; noticed at 22:05.")]
    [InlineData(ForecastEvents.TankChange, 1, " The tank's own water began to change; noticed at 22:05.")]
    public void A_change_is_told_with_its_time_for_an_hour(ForecastEvents what, double factor, string words)
    {
        var state = State(Tonight, f => f with { Events = what, FlowFactor = factor });
        Noticed(state, secondsAgo: 300);
        Assert.Contains(words, Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
        state.LastStepAt = state.LastStepAt.Plus(3600);
        Assert.DoesNotContain(words[..20], Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_clock_a_change_is_told_by_its_age()
    {
        var state = State(Tonight, f => f with { Events = ForecastEvents.FlowUp, FlowFactor = 3 });
        Noticed(state, secondsAgo: 300);
        Assert.Contains("about 3 times as fast; noticed 5 min ago.", Sentence.Of(state, null).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_probe_that_is_believed_again_is_not_told_of_any_more()
    {
        var state = State(Tonight, f => f with { Events = ForecastEvents.ProbeVessel, VesselReason = Reason.Stuck });
        Noticed(state, secondsAgo: 600);
        Assert.Contains("The vessel's probe has not been believed since 22:00.", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
        state.LatestForecast = state.LatestForecast with { VesselReason = Reason.None };
        Assert.DoesNotContain("not been believed", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_was_noticed_in_one_run_is_forgotten_in_the_next()
    {
        var state = State(Tonight, f => f with { Events = ForecastEvents.FlowUp, FlowFactor = 3 });
        Noticed(state, secondsAgo: 10);
        Assert.NotNull(state.Noticed.Flow);
        state.Start(new RunStart(2, state.Run!.Prior, 1), state.LastStepAt);
        Assert.Null(state.Noticed.Flow);
    }

    [Theory]
    [InlineData("vessel", "The vessel's probe is not in use.")]
    [InlineData("unfitted", "There is no probe in the tank: its water is known only as it was measured by hand.")] // "measure it again": nothing takes it in a run
    [InlineData("tank", "The tank's probe is not in use.")]
    [InlineData("flow", "The drip has just changed.")]
    [InlineData("begun", "changed too little so far")]
    [InlineData("slow", " Too little runs in to go by.")]
    [InlineData("gain", "not matched in one cup, and the waters are only 40 µS/cm apart.")]
    [InlineData("none", " The waters are 40 µS/cm apart, and what is left changes too slowly.")]
    [InlineData("apart", " The waters are 97 µS/cm apart, and what is left changes too slowly.")] // more than twice the tolerance: not nearly even
    public void What_cannot_be_told_has_its_cause(string cause, string words)
    {
        var state = State(Wide, f => cause switch
        {
            "vessel" => f with { VesselReason = Reason.NoAnswer },
            "tank" => f with { TankReason = Reason.Disagrees },
            "flow" => f with { Events = ForecastEvents.FlowUp, FlowFactor = 2 },
            _ => f,
        });
        Noticed(state, secondsAgo: 60);
        state.Run = state.Run! with { Prior = state.Run.Prior with { GainRatioRelativeSd = cause == "gain" ? 0.021 : 0.003 } };
        var readings = state.Readings;
        readings[Channel.TankConductivity] = cause == "unfitted" ? Reading.Missing(Reason.NotFitted, state.LastStepAt) : Reading.Of(200, state.LastStepAt);
        readings[Channel.VesselConductivity] = Reading.Of(cause switch { "begun" or "slow" => 410, "apart" => 297, _ => 240 }, state.LastStepAt);
        state.Readings = readings;
        if (cause == "slow") state.Alarms[(int)AlarmId.DripSlow] = new() { Standing = AlarmStanding.Unacknowledged };
        var say = Sentence.Of(state, TenPast22);
        Assert.Equal(cause == "slow" ? StateWord.Look : StateWord.CannotTell, say.Word);
        Assert.Contains(words, say.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void When_the_conductivity_shows_no_level_any_more_its_range_is_told_unless_a_scale_shows_it()
    {
        var state = State(new(0, 0, 0, 600, 1800), f => f with { VolumeLitres = new(7.9, 8.4, 8.8, 9.1, 9.6) }, s => s with { Sensors = s.Sensors with { FloatHighLine = 27 } });
        Assert.Contains("The level is known only from flow and floats: 7.9 to 9.6 L.", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
        var readings = state.Readings;
        readings[Channel.Mass] = Reading.Of(8.8, state.LastStepAt);
        state.Readings = readings;
        Assert.DoesNotContain("known only", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    /// <summary>A sentence tells of nothing that the station has not got.</summary>
    [Fact]
    public void Of_a_station_without_floats_and_without_a_probe_in_the_tank_neither_is_told()
    {
        var state = State(new(0, 0, 0, 600, 1800), f => f with { VolumeLitres = new(7.9, 8.4, 8.8, 9.1, 9.6), Health = Health.Degraded, TankReason = Reason.NotFitted }, s => s with
        {
            Sensors = s.Sensors with { FloatLowLine = null, FloatHighLine = null, TankConductivity = null },
        });
        var text = Sentence.Of(state, TenPast22).Text;
        Assert.Contains("The level is known only from the flow: 7.9 to 9.6 L. Without a probe in the tank the ranges are wider.", text, StringComparison.Ordinal);
        state.LatestForecast = state.LatestForecast with { VesselReason = Reason.Stuck };
        Assert.Contains(" One probe is not in use, so the ranges are wider.", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void The_level_of_a_cup_is_told_in_hundredths()
    {
        var state = State(new(0, 0, 0, 600, 1800), f => f with { VolumeLitres = new(0.21, 0.22, 0.24, 0.25, 0.26) }, s => s with { Vessel = s.Vessel with { BrimLitres = 0.3 } });
        Assert.Contains(": 0.21 to 0.26 L.", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Waters_alike_go_by_the_share_that_was_replaced()
    {
        var state = State(new(0, 0, 0, 0, 0), f => f with
        {
            JudgedByReplacedFraction = true, ReplacedFraction = new(0.3, 0.35, 0.38, 0.4, 0.45), ReplacedSeconds = Tonight, ReplacedWanted = 0.75,
        });
        Assert.StartsWith(
            "The two waters conduct nearly alike, so it goes by how much was replaced: about 38 % of the water is the tank's now, 75 % at about 02:40 (between 01:55 and 03:50).",
            Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    /// <summary>The conductivity is even already: it is the share that the mark comes before, or not, and that is told or not.</summary>
    [Theory]
    [InlineData(36_000, StateWord.Look, "It will probably reach its mark before it is even")]
    [InlineData(16_200, StateWord.Steady, "Nothing to do.")]
    public void Waters_alike_are_late_where_their_share_is(double replaced, StateWord word, string act)
    {
        var state = State(Wide, f => f with
        {
            JudgedByReplacedFraction = true, ReplacedFraction = new(0.3, 0.35, 0.38, 0.4, 0.45), ReplacedSeconds = new(replaced - 2700, replaced - 1000, replaced, replaced + 1000, replaced + 4200), ReplacedWanted = 0.75,
        });
        var say = Sentence.Of(state, TenPast22);
        Assert.Equal(word, say.Word);
        Assert.StartsWith(act, say.Act, StringComparison.Ordinal);
    }

    [Fact]
    public void Temperature_that_comes_later_or_never_is_told_beside_the_conductivity()
    {
        var state = State(Tonight, f => f with
        {
            TemperatureMatchSeconds = Late, JointMatchSeconds = Late, SettlingCelsius = new(22, 22.3, 22.5, 22.7, 23),
        });
        var readings = state.Readings;
        readings[Channel.TankTemperature] = Reading.Of(25, state.LastStepAt);
        state.Readings = readings;
        Assert.Contains(" In temperature as well at about 06:10.", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);

        // Even in temperature now, and away from it before the conductivity follows.
        state.LatestForecast = state.LatestForecast with { TemperatureMatchSeconds = new(0, 0, 0, 0, 0), JointMatchSeconds = Quantiles.Never };
        var never = Sentence.Of(state, TenPast22);
        Assert.Contains("would stay at about 22.5 °C, 2.5 below the tank.", never.Text, StringComparison.Ordinal);
        // It was "Steady", and nothing to do, in a night that could end at its mark alone.
        Assert.Equal((StateWord.Look, state.Forecast.BrimSeconds.P05), (never.Word, never.WithinSeconds));
        Assert.StartsWith("It will not be even in temperature with this drip: bring the room nearer", never.Act, StringComparison.Ordinal);
        readings[Channel.TankTemperature] = Reading.Of(20, state.LastStepAt);
        state.Readings = readings;
        Assert.Contains("would stay at about 22.5 °C, 2.5 above the tank.", Sentence.Of(state, TenPast22).Text, StringComparison.Ordinal);
    }

    [Theory] // only what comes more than ten minutes after the conductivity, and can be told
    [InlineData(1, 590, false)]
    [InlineData(1, 610, true)]
    [InlineData(0, 610, false)] // even by now
    [InlineData(1, double.PositiveInfinity, false)]
    public void Temperature_that_comes_with_the_conductivity_is_not_told_beside_it(double even, double later, bool told)
    {
        var joint = double.IsPositiveInfinity(later) ? new Quantiles(Tonight.P05, Tonight.P25, Tonight.P50 + 900, Quantiles.Beyond, Quantiles.Beyond) : new(Tonight.P05, Tonight.P25, Tonight.P50 + later, Tonight.P75 + later, Tonight.P95 + later);
        var state = State(Tonight, f => f with { TemperatureMatchSeconds = new(even, even, even, even, even), JointMatchSeconds = joint, SettlingCelsius = new(22, 22.3, 22.5, 22.7, 23) });
        var readings = state.Readings;
        readings[Channel.TankTemperature] = Reading.Of(23, state.LastStepAt);
        state.Readings = readings;
        Assert.Equal(told, Sentence.Of(state, TenPast22).Text.Contains("In temperature as well", StringComparison.Ordinal));
    }

    /// <summary>"75 % at about 01:35. In temperature as well at about 21:03": waters that conduct alike are even in conductivity from the start.</summary>
    [Theory]
    [InlineData(12_000, false)]
    [InlineData(30_000, true)] // the share is the tank's at 15,000 to 18,000 s
    public void Where_the_share_counts_the_temperature_is_told_when_it_comes_later_than_that(double warm, bool told)
    {
        var joint = new Quantiles(warm - 900, warm - 400, warm, warm + 400, warm + 900);
        var state = State(new(0, 0, 0, 0, 0), f => f with
        {
            JudgedByReplacedFraction = true, ReplacedFraction = new(0.3, 0.35, 0.38, 0.4, 0.45), ReplacedSeconds = Tonight, ReplacedWanted = 0.75,
            TemperatureMatchSeconds = joint, JointMatchSeconds = joint, SettlingCelsius = new(22, 22.3, 22.5, 22.7, 23),
        });
        var readings = state.Readings;
        readings[Channel.TankTemperature] = Reading.Of(23, state.LastStepAt);
        state.Readings = readings;
        Assert.Equal(told, Sentence.Of(state, TenPast22).Text.Contains("In temperature as well", StringComparison.Ordinal));
    }

    private static void Noticed(StationState state, double secondsAgo)
    {
        var noticed = state.Noticed;
        noticed.Note(state.Forecast with { At = state.LastStepAt.Plus(-secondsAgo) });
        state.Noticed = noticed;
    }

    private static StationState State(Quantiles match, Func<Forecast, Forecast> with, Func<Core.Stations.Station, Core.Stations.Station>? of = null)
    {
        var state = new StationState((of ?? (s => s))(TestStation.Make())) { LastStepAt = MonotonicTime.FromSeconds(20_000) };
        state.Start(new RunStart(1, new Prior { StartVolumeLitres = 2, BrimLitres = 12, ToleranceMicrosiemensPerCm = 40 }, 1), MonotonicTime.FromSeconds(0));
        state.Phase = Phase.Dripping;
        state.HasForecast = true;
        state.TemperaturesAreEven = true;
        state.LatestForecast = with(new Forecast
        {
            At = state.LastStepAt, VolumeLitres = new(2, 2, 2, 2, 2), FlowMillilitresPerMinute = new(15, 15, 15, 15, 15), MatchSeconds = match, BrimSeconds = Late, FlowFactor = 1,
        });
        return state;
    }
}
