using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

/// <summary>Runs that rest or are drawn off, other ways and late keepers close when their own estimator is sure, as a plain plan does. The river's pail, 1.6 L of it bag water, at 15 mL/min.</summary>
public class SureWaysTests
{
    /// <summary>As the river's, but the waters conduct alike: three quarters are to be replaced, which a fill has after 5.3 h.</summary>
    private static readonly Station _alike = Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = 190 }) with { Limits = new() };

    /// <summary>A pail of 10.5 L that nobody measured well: its forecast closes before it is sure that the waters are even.</summary>
    private static readonly Station _tight = Stations.River.With(v => v with { BrimLitres = 10.5, BrimSdLitres = 0.42, StartVolumeSdLitres = 0.24 }, d => d with { FlowRelativeSd = 0.2 }, source: s => s with { IntakeDepthMillimetres = 40 }, floats: f => f with { LowLitres = null, HighLitres = null }) with
    {
        Limits = new(), Probes = new() { GainRatioSd = 0.021 },
    };

    /// <summary>On the simulated rig (rehearse --calm) the paced one closed after 3.94 h at 9.4 L, the one drawn off on six nights after 10.90 to 10.92 h.</summary>
    [Fact]
    public void Pulses_and_draw_offs_are_followed_too()
    {
        // With the valve held open so little of so wide a drip comes in that the estimator would think something else, and close after 3.6 h.
        var paced = Make(Stations.River.With(drip: d => d with { FlowMillilitresPerMinute = 60 }) with { Pacing = new() { Path = PacePath.Limits }, Limits = new() { MicrosiemensPerCmPerHour = 60, CelsiusPerHour = 5 } });
        Assert.True(paced.IsOnceSure);
        Assert.InRange(paced.WhenClosed!.Value.Hours, 3.8, 4.05);
        Assert.DoesNotContain(paced.Cautions, caution => caution.Kind == Caution.PulsesInScatter);
        Assert.InRange(paced.WhenClosed!.Value.Litres, 9.1, 9.5);

        var drawn = Make(Stations.River.With(match: m => m with { ToleranceMicrosiemensPerCm = 20 }, source: s => s with { MaxDrawLitres = 60, IntakeDepthMillimetres = 100 }) with { DrawOffs = [new(31_896, 7.95, 0.02)] });
        Assert.Empty(drawn.Obstacles);
        Assert.True(drawn.IsOnceSure);
        Assert.InRange(drawn.WhenClosed!.Value.Hours, drawn.WhenEven!.Value.Hours + 0.3, 11.05);
    }

    [Fact] // in a cold room, which brings other ways to mind
    public void Every_way_closes_once_it_is_sure()
    {
        var ways = Alternatives.Of(Make(_alike with { Room = new() { TemperatureCelsius = 21.5, Lid = true } }));
        Assert.Equal(["planned, 15 mL/min", "foam around it", "a room at 23.6 °C", "float it closed first"], ways.Select(way => way.Title));
        Assert.All(ways, way => Assert.InRange(way.ReadyHours!.Value, 5.9, 6.5));
    }

    [Fact]
    public void Where_the_forecast_would_close_first_more_room_helps()
    {
        var plan = Make(_tight);
        Assert.Equal([Obstacle.ForecastFirst], plan.Obstacles.Select(o => o.Kind));
        var ways = Alternatives.Of(plan);
        var larger = Assert.Single(ways, way => way.Title.StartsWith("a larger vessel", StringComparison.Ordinal));
        Assert.True(larger.Fits, string.Join(' ', larger.Obstacles));
        var less = Assert.Single(ways, way => way.Title.StartsWith("less bag water", StringComparison.Ordinal));
        Assert.True(less.Fits, string.Join(' ', less.Obstacles));
        Assert.Contains(ways, way => way.Title.EndsWith("by hand", StringComparison.Ordinal));
    }

    [Fact] // there is room for a tenth more than the match needs, and still it is too little
    public void A_pail_that_holds_the_match_may_be_too_small_to_be_sure_of_it()
    {
        var plan = Make(_tight with { Vessel = _tight.Vessel with { BrimLitres = 12.6, BrimSdLitres = 1.3, FreeboardLitres = 1.2 } });
        Assert.Equal([Obstacle.ForecastFirst], plan.Obstacles.Select(o => o.Kind));
        Assert.Contains(Alternatives.Of(plan), way => way.Title.StartsWith("a larger vessel", StringComparison.Ordinal) && way.Fits);
        // And a partial match stops well before its mark.
        var partial = Assert.Single(Alternatives.Of(Make(_tight with { Match = _tight.Match with { ToleranceMicrosiemensPerCm = 20 } })), way => way.Title.StartsWith("partial", StringComparison.Ordinal));
        Assert.Empty(partial.Obstacles);
    }

    [Fact]
    public void A_pail_that_is_too_small_anyway_is_told_as_that_alone() =>
        Assert.Equal([Obstacle.VesselTooSmall], Make(Stations.River.With(match: m => m with { ToleranceMicrosiemensPerCm = 25 }, source: s => s with { IntakeDepthMillimetres = 100, MaxDrawLitres = 60 }, safety: s => s with { MaxOpenMinutes = 2880, MaxInflowLitres = 60 })).Obstacles.Select(o => o.Kind));

    [Fact] // four fifths of waters that conduct alike, in a pail of 8.2 L: long after the share itself has come
    public void What_a_way_asks_for_lasts_until_it_is_sure()
    {
        var small = _alike with { Match = _alike.Match with { ReplacedFraction = 0.8 }, Source = _alike.Source with { IntakeDepthMillimetres = 100, MaxDrawLitres = 60 }, Safety = _alike.Safety with { MaxOpenMinutes = 2880, MaxInflowLitres = 14 }, Vessel = _alike.Vessel with { BrimLitres = 8.2 }, Floats = _alike.Floats with { HighLitres = null } };
        var pipe = Assert.Single(Alternatives.Of(Make(small)), way => way.Title.StartsWith("a standpipe", StringComparison.Ordinal));
        Assert.True(pipe.Fits, string.Join(' ', pipe.Obstacles));

        // Within 20 of the tank's 185 it has taken 9.6 L with the dwell time, and 9.85 L once it is sure.
        var apart = Stations.River.With(match: m => m with { ToleranceMicrosiemensPerCm = 20 }, source: s => s with { IntakeDepthMillimetres = 100, MaxDrawLitres = 60 }, safety: s => s with { MaxInflowLitres = 9.7 });
        var hand = Assert.Single(Alternatives.Of(Make(apart)), way => way.Title.EndsWith("by hand", StringComparison.Ordinal));
        Assert.Contains(" and safety.maxInflowLitres 10.", hand.Asks, StringComparison.Ordinal);
    }

    [Fact]
    public void A_keeper_who_is_away_finds_it_closed_as_the_plan_says()
    {
        var plan = Make(_alike, new() { BackHours = 10 });
        var cases = Lateness.Of(plan);
        Assert.Equal((true, plan.WhenClosed!.Value.Hours), (cases[0].Even, cases[0].ClosedHours));
        var expected = Make(_alike with { Drip = _alike.Drip with { FlowMillilitresPerMinute = 30 } }).WhenClosed!.Value.Hours;
        Assert.NotEqual(expected, cases[2].ClosedHours); // nobody expected that it runs twice as fast
        var early = Lateness.Of(Make(_tight, new() { BackHours = 10 }))[0];
        Assert.False(early.Even);
        Assert.Equal(Make(_tight).Trial.Sure!.Value.Trips!.Value.Hours, early.ClosedHours!.Value, 0.02); // looked for in steps of a minute
        // Even within 8 µS/cm, and the probes may differ by 3 % of 420.
        var never = Make(_alike with
        {
            Vessel = _alike.Vessel with { BrimLitres = 400, FreeboardLitres = 10 }, Waters = _alike.Waters with { BagMicrosiemensPerCm = 560, TankMicrosiemensPerCm = 420 }, Match = _alike.Match with { ToleranceMicrosiemensPerCm = 8 },
            Floats = _alike.Floats with { LowLitres = null, HighLitres = null }, Probes = new() { GainRatioSd = 0.03 }, Safety = _alike.Safety with { MaxOpenMinutes = 2880, MaxInflowLitres = 180 }, Source = _alike.Source with { MaxDrawLitres = 180, IntakeDepthMillimetres = 400 },
        }, new() { BackHours = 46 });
        Assert.Equal([Obstacle.NeverSure], never.Obstacles.Select(o => o.Kind));
        Assert.Equal((false, null), (Lateness.Of(never)[0].Even, Lateness.Of(never)[0].ClosedHours));
    }

    /// <summary>Of a run that is sure some 50 minutes after three quarters are replaced, the late end comes as much after that of its evenness; ten minutes of dwell time would be within the budget.</summary>
    [Fact]
    public void What_may_come_too_late_is_told_with_the_time_to_be_sure()
    {
        var even = Make(_alike).Even.Late;
        var plan = Make(_alike with { Safety = _alike.Safety with { MaxOpenMinutes = 60 * (even + 0.4) } });
        Assert.Contains(plan.Cautions, caution => caution.Text.StartsWith($"The match may come as late as {even + plan.WhenClosed!.Value.Hours - plan.WhenEven!.Value.Hours:0.0} h, its {60 * (plan.WhenClosed.Value.Hours - plan.WhenEven.Value.Hours):0} min to be sure with it", StringComparison.Ordinal));
    }

    /// <summary>Even after six hours less the dwell time is not done within six hours.</summary>
    [Theory]
    [InlineData(null)]
    [InlineData(15.0)]
    public void A_drip_that_is_to_be_done_by_an_hour_is_sure_by_then(double? millilitresPerMinute)
    {
        var station = _alike with { Drip = _alike.Drip with { FlowMillilitresPerMinute = millilitresPerMinute } };
        var plan = Make(station, new() { DoneByHours = 4 });
        Assert.True(plan.Fits == millilitresPerMinute is null, string.Join(" ", plan.Obstacles));
        Assert.True((plan.Fits ? plan.WhenClosed!.Value.Hours : Assert.Single(Alternatives.Of(plan), way => way.Title.StartsWith("faster", StringComparison.Ordinal)).ReadyHours) is > 3 and <= 4);
    }

    /// <summary>By hand, conductivity alone: 225 (1 - v / (v + 0.45)) in half an hour are 2 x 77.9 = 156 an hour of 0.85 L; the limit is 160, and 152 would leave a twentieth.</summary>
    [Fact]
    public void What_comes_near_to_the_animals_limit_fits_only_just()
    {
        var station = Stations.River.With(v => v with { StartVolumeLitres = 0.85, StartVolumeSdLitres = 0.017 }) with { Evaporation = new(), Limits = new() { MicrosiemensPerCmPerHour = 160 } };
        Assert.Contains(Make(station).Cautions, Near);
        Assert.DoesNotContain(Make(station with { Limits = new() { MicrosiemensPerCmPerHour = 170 } }).Cautions, Near);
        Assert.True(Make(station).Fits);
        // From 400 (the first five minutes' mean) to 223 when it closes; a twentieth less than 183 is 174.
        Assert.Contains(Make(station with { Limits = new() { TotalMicrosiemensPerCm = 183 } }).Cautions, Near);
        Assert.DoesNotContain(Make(station with { Limits = new() { TotalMicrosiemensPerCm = 190 } }).Cautions, Near);

        static bool Near(Remark<Caution> caution) => caution.Kind == Caution.OnlyJust && caution.Text.Contains("nearly as much as the animals' limits", StringComparison.Ordinal);
    }

    /// <summary>24.1 mL/min would be done by then, and change the water by 139 µS/cm in its first hour's fastest half.</summary>
    [Theory]
    [InlineData(142, false)]
    [InlineData(150, true)]
    public void A_faster_drip_is_promised_only_where_it_keeps_well_within_that_limit(double limit, bool promised)
    {
        var station = Stations.River.With(source: s => s with { IntakeDepthMillimetres = 40 }) with { Limits = new() { MicrosiemensPerCmPerHour = limit } };
        var faster = Assert.Single(Alternatives.Of(Make(station, new() { DoneByHours = 6 })), way => way.Title.StartsWith("faster", StringComparison.Ordinal));
        Assert.True(faster.Fits, string.Join(' ', faster.Obstacles));
        Assert.Equal(promised, faster.Asks.EndsWith("; then done in time on 19 nights of 20.", StringComparison.Ordinal));
    }

    /// <summary>The same in 1.6 L of half as much room: with less of it a faster change, and no more than within a twentieth of the limit.</summary>
    [Fact]
    public void Less_water_is_not_advised_where_it_comes_near_to_that_limit()
    {
        var small = Stations.River.With(match: m => m with { ToleranceMicrosiemensPerCm = 20 }, source: s => s with { MaxDrawLitres = 60, IntakeDepthMillimetres = 100 }, safety: s => s with { MaxOpenMinutes = 2880 }) with { Limits = new() { MicrosiemensPerCmPerHour = 160 } };
        var less = Assert.Single(Alternatives.Of(Make(small)), way => way.Title.StartsWith("less bag water", StringComparison.Ordinal));
        var litres = double.Parse(less.Title.AsSpan("less bag water, ".Length, 4), System.Globalization.CultureInfo.InvariantCulture);
        Assert.False(less.Fits && 450 * 0.45 / (litres + 0.45) > 152, less.Title);
    }

    private static Plan Make(Station station, PlanWishes? wishes = null) => Planner.Make(station, wishes: wishes, priorOf: Known);

    internal static Prior Known(Station station) => new()
    {
        Mode = station.Vessel.Mode,
        StartVolumeLitres = station.Vessel.StartVolumeLitres,
        StartVolumeRelativeSd = station.Vessel.StartVolumeSdLitres / station.Vessel.StartVolumeLitres,
        BrimLitres = station.Vessel.BrimLitres,
        BrimRelativeSd = station.Vessel.BrimSdLitres / station.Vessel.BrimLitres,
        FreeboardLitres = station.Vessel.FreeboardLitres,
        StandpipeLitres = station.Vessel.StandpipeLitres,
        FlowMillilitresPerMinute = station.Drip.FlowMillilitresPerMinute,
        FlowRelativeSd = station.Drip.FlowRelativeSd,
        FloatLowLitres = station.Floats.LowLitres,
        FloatHighLitres = station.Floats.HighLitres,
        FloatSdLitres = station.Floats.PositionSdLitres,
        GainRatioRelativeSd = station.Probes.GainRatioSd,
        ToleranceMicrosiemensPerCm = station.Match.ToleranceMicrosiemensPerCm!.Value,
        TemperatureToleranceCelsius = station.Match.TemperatureToleranceCelsius,
        ReplacedFraction = station.Match.ReplacedFraction,
        QuantisationMicrosiemensPerCm = 0.03,
        EvaporationMillilitresPerHour = station.Evaporation.MillilitresPerHour,
        LeaksAfterClosedSeconds = station.Pacing is null ? 0 : 900,
    };
}
