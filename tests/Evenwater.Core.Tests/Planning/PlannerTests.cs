using CsCheck;
using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

public class PlannerTests
{
    private static readonly Plan River = Planner.Make(Stations.River.Station);

    [Fact]
    public void The_river_fits_as_worked_by_hand()
    {
        Assert.True(River.Fits);
        Assert.Equal(9.0, River.FillNeedsLitres, 9); // 225 x 1.6 / 40
        Assert.Equal(5.625, River.FillNeedsStartVolumes, 9);
        Assert.Equal(8.22, River.FillHours, 0.005); // 7.4 L at 0.9 L/h
        // Evaporation of 1 mL/h lets the vessel settle at 185 x 900 / 899 = 185.21, so V = 224.79 x 1.6 / 39.79 = 9.038 L, of a net 0.899 L/h.
        Assert.Equal((9.038 - 1.6) / 0.899, River.Even.Middle, 0.002);
        Assert.Equal(9.8, River.AtMark.Middle, 0.05); // 8.8 L
        Assert.Equal(9.038, River.WhenEven!.Value.Litres, 0.001);
        Assert.Equal(225, River.WhenEven.Value.MicrosiemensPerCm, 6);
        Assert.Equal(10.4, River.Mark.Litres, 9);
        Assert.Equal(15, River.Flow.MillilitresPerMinute);
        Assert.Equal(300, River.DropsPerMinute, 9); // 15 mL x 20
        Assert.False(River.FlowIsProposed);
        Assert.Equal(7.68, River.SiphonLitres!.Value, 9);
        Assert.Empty(River.UnattendedRefusals);
    }

    [Fact]
    public void It_closes_after_the_dwell_and_the_source_falls_by_what_was_taken()
    {
        var closed = River.WhenClosed!.Value;
        Assert.Equal(River.Even.Middle + (10.0 / 60), closed.Hours, 9);
        Assert.Equal(closed.Hours * 0.9, closed.InflowLitres, 9);
        Assert.Equal(closed.InflowLitres / 0.48, River.TankLoss.FallsMillimetres, 9); // L / m2 = mm
        Assert.Contains(River.Cautions, c => c.Kind == Caution.OnlyJust && c.Text.Contains("7.7 L", StringComparison.Ordinal)); // the intake, 16 mm deep
        Assert.Contains(River.Cautions, c => c.Kind == Caution.IntakeEndsIt);
    }

    [Fact]
    public void Temperatures_settle_as_worked_by_hand()
    {
        // Drip 0.9 L/h, room 1.2 W/K = 1.0362 L/h, evaporation 0.001 L/h x 584 K: (20.7 + 23.315 - 0.584) / 1.9362.
        Assert.Equal(22.43, River.SettlesAt.Celsius, 0.005);
        Assert.Equal(22.5 - (0.58396 / 1.0362), River.RestsAt.Celsius, 0.001);
    }

    [Fact]
    public void Without_evaporation_the_plan_is_the_closed_form()
    {
        var plan = Planner.Make(Stations.River.Station with { Evaporation = new() });
        Assert.Equal(7.4 / 0.9, plan.EvenInConductivity.Middle, 6);
        Assert.Equal(8.8 / 0.9, plan.AtMark.Middle, 6);
    }

    [Fact]
    public void The_range_is_that_of_start_volume_flow_and_probes()
    {
        // By hand, first order: start volume 2 %, flow 5 %, gain 0.3 % of 185 in 40 times 9.0/7.4; start volume counts once (7.4 / 0.9 grows with it).
        var (start, flow, gain) = (0.02, 0.05, 0.003 * 185 / 40 * 9.0 / 7.4);
        var spread = Math.Exp(1.645 * Math.Sqrt((start * start) + (flow * flow) + (gain * gain)));
        Assert.Equal(River.EvenInConductivity.Middle * spread, River.EvenInConductivity.Late, 0.02);
        Assert.Equal(River.EvenInConductivity.Middle / spread, River.EvenInConductivity.Early, 0.02);
    }

    [Fact] // by hand, no air and a flow that is known: 5 % and 95 % of the start volume are 1.6 ± 1.645 x 0.032 = 1.6526 L, of which 8.7474 L fill up to the mark, of the brim 11.6 ± 0.1974 L
    public void The_range_to_the_mark_is_that_of_start_volume_and_brim()
    {
        var station = Stations.River.With(drip: d => d with { FlowRelativeSd = 0 }) with { Evaporation = new() };
        var mark = Planner.Make(station).AtMark;
        Assert.Equal(8.8 / 0.9, mark.Middle, 6);
        Assert.Equal(Math.Sqrt(Math.Pow(Math.Log(8.8526 / 8.8), 2) + Math.Pow(Math.Log(8.9974 / 8.8), 2)), Math.Log(mark.Late / mark.Middle), 0.00002);
        Assert.Equal(Math.Sqrt(Math.Pow(Math.Log(8.8 / 8.7474), 2) + Math.Pow(Math.Log(8.8 / 8.6026), 2)), Math.Log(mark.Middle / mark.Early), 0.00002);
    }

    [Theory] // the tank's 185 µS/cm may be off by 1.645 sd; within 40 of it is then within less or more of what it is: 225 x 1.6 / (40 ± off) - 1.6 L at 0.9 L/h
    [InlineData(true, 0.003, 0.003)]
    [InlineData(true, 0.03, 0.03)]
    [InlineData(false, 0.003, 0.02)] // by hand, two instruments and a while between them
    [InlineData(false, 0.03, 0.03)]
    public void A_tank_that_no_probe_looks_at_is_known_as_badly_as_by_hand(bool probe, double gain, double sd)
    {
        var station = Stations.River.With(v => v with { StartVolumeSdLitres = 0 }, d => d with { FlowRelativeSd = 0 }, sensors: s => s with { TankConductivity = probe ? s.TankConductivity : null }) with
        {
            Evaporation = new(), Probes = Stations.River.Station.Probes with { GainRatioSd = gain },
        };
        var (even, off) = (Planner.Make(station).EvenInConductivity, 1.645 * sd * 185);
        Assert.Equal(((360 / (40 - off)) - 1.6) / 0.9, even.Late, 0.001);
        Assert.Equal(((360 / (40 + off)) - 1.6) / 0.9, even.Early, 0.001);
    }

    [Theory] // three times 0.3 % of 185 µS/cm are 1.665; of what is left of 1.6 a tolerance of 0.1 is a sixteenth, and three quarters of the water are replaced at least
    [InlineData(186.66, 1, 0.75)]
    [InlineData(186.67, 1, null)]
    [InlineData(183.34, 1, 0.75)]
    [InlineData(186.6, 0.1, 0.9375)]
    [InlineData(186.6, 0.0001, 0.999)] // all of it never
    [InlineData(185, 1, 0.75)]
    [InlineData(190, 5, 0.75)] // within the tolerance from the beginning
    [InlineData(190.1, 5, null)]
    public void Where_conductivity_can_not_tell_the_water_replaced_is_asked_for(double bag, double tolerance, double? replaced)
    {
        var wanted = PlanTimes.ReplacedWanted(Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = bag }, match: m => m with { ToleranceMicrosiemensPerCm = tolerance, ReplacedFraction = 0.75 }));
        Assert.Equal(replaced is null, wanted is null);
        Assert.Equal(replaced ?? 0, wanted ?? 0, 1e-9);
    }

    [Fact] // 815 µS/cm apart and 300 let pass: 0.1 L become 0.2717 L, in the usual eight hours at 0.358 mL/min; 120 mL/h into the air are 2 mL/min, and a drip of 3.3 would do, where the vessel settles at 185 x 3.3 / 1.3 = 470
    public void A_proposed_drip_brings_twice_what_the_air_takes()
    {
        var station = Stations.River.With(v => v with { StartVolumeLitres = 0.1, StartVolumeSdLitres = 0.002 }, d => d with { FlowMillilitresPerMinute = null }, m => m with { ToleranceMicrosiemensPerCm = 300 }, waters: w => w with { BagMicrosiemensPerCm = 1000, BagTemperatureCelsius = 22.5 });
        Assert.Equal(4, Planner.Make(station with { Evaporation = new() { MillilitresPerHour = 120 }, Limits = new() }).Flow.MillilitresPerMinute, 0.02);
        Assert.Equal(0.1717 / 8 / 0.06, Planner.Make(station with { Evaporation = new(), Limits = new() }).Flow.MillilitresPerMinute, 0.002);
    }

    [Fact]
    public void A_tolerance_as_a_fraction_is_the_same_tolerance()
        => Assert.Equal(River.Even.Middle, Planner.Make(Stations.River.With(match: m => m with
        {
            ToleranceMicrosiemensPerCm = null,
            ToleranceFractionOfDifference = 40.0 / 225,
        })).Even.Middle, 6);

    [Fact]
    public void A_vessel_that_is_too_small_is_told()
    {
        var plan = Planner.Make(Stations.River.With(match: m => m with { ToleranceMicrosiemensPerCm = 10 })); // 36 L
        Assert.Contains(plan.Obstacles, o => o.Kind == Obstacle.VesselTooSmall);
        Assert.Equal(36, plan.FillNeedsLitres, 9);
    }

    [Fact]
    public void A_draw_off_just_before_the_mark_makes_it_fit()
    {
        var station = Stations.River.With(match: m => m with { ToleranceMicrosiemensPerCm = 10 },
            safety: s => s with { MaxOpenMinutes = 2000, MaxInflowLitres = 18 }, source: s => s with { MaxDrawLitres = 30, IntakeDepthMillimetres = 60 });
        // Just before the mark at 9.78 h: down to 1.6 L again.
        var drawn = station with { DrawOffs = [new DrawOff(9.7 * 3600, 8.72, 0.02)] };
        Assert.Empty(StationRules.Check(drawn));
        var plan = Planner.Make(drawn);
        Assert.True(plan.Fits, string.Join(" ", plan.Obstacles));
        Assert.Equal(12.74, plan.WhenEven!.Value.InflowLitres, 0.2); // 8.8 L to the mark, then from 1.6 L to 1.6 x 22.5 / 6.5 = 5.54 L
    }

    [Fact]
    public void A_standpipe_never_comes_to_its_mark_and_says_what_runs_through()
    {
        var station = Stations.River.With(
            v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 8, CatchLitres = 14 },
            match: m => m with { ToleranceMicrosiemensPerCm = 20 },
            source: s => s with { IntakeDepthMillimetres = 30 },
            safety: s => s with { MaxOpenMinutes = 1200, MaxInflowLitres = 20 }) with
        { Evaporation = new(), Limits = new() }; // without evaporation it warms a hair faster than the river's 2.5 °C an hour
        Assert.Empty(StationRules.Check(station));
        var plan = Planner.Make(station);
        Assert.Equal(double.PositiveInfinity, plan.AtMark.Middle);
        // 6.4 + 8 ln(18 / 8) = 12.887 L, of which 6.487 L run through.
        Assert.Equal(12.887, plan.WhenEven!.Value.InflowLitres, 0.001);
        Assert.Equal(6.487, plan.WhenEven.Value.OutflowLitres, 0.001);
        Assert.True(plan.Fits, string.Join(" ", plan.Obstacles));
        var small = Planner.Make(station with { Vessel = station.Vessel with { CatchLitres = 5 } });
        Assert.Contains(small.Obstacles, o => o.Kind == Obstacle.CatchOverflows);
    }

    [Fact]
    public void Conductivity_may_match_where_temperature_stops()
    {
        var plan = Planner.Make(Stations.River.Station with { Room = new() { TemperatureCelsius = 15, Lid = true } });
        var obstacle = Assert.Single(plan.Obstacles);
        Assert.Equal(Obstacle.TemperatureStops, obstacle.Kind);
        Assert.Contains($"the temperature will stop at {plan.SettlesAt.Celsius:0.0} °C", obstacle.Text, StringComparison.Ordinal);
        Assert.Equal(River.EvenInConductivity.Middle, plan.EvenInConductivity.Middle, 9);
        Assert.Null(plan.WhenEven);
    }

    [Fact] // 7.4 L on 0.045 m2 raise the water by 164 mm, more than a head of 150 mm; 7.4 L in 8 h are 15.4 mL/min. It had proposed 1000, the most that a file may say.
    public void Where_no_rate_comes_to_a_match_the_hand_calculations_is_proposed_and_not_the_fastest_there_is()
    {
        var plan = Planner.Make(Stations.River.With(drip: d => d with { FlowMillilitresPerMinute = null, HeadMetres = 0.15 }) with { Limits = new() });
        Assert.Contains(plan.Obstacles, o => o.Kind == Obstacle.TooSlow);
        Assert.Equal(15.4, plan.Flow.MillilitresPerMinute, 1e-9);
    }

    [Fact]
    public void Without_a_measured_drip_a_rate_for_one_night_is_proposed()
    {
        var plan = Planner.Make(Stations.River.With(drip: d => d with { FlowMillilitresPerMinute = null }));
        Assert.True(plan.FlowIsProposed);
        Assert.Equal(15.5, plan.Flow.MillilitresPerMinute, 9); // 7.44 L in 8 h
        Assert.Equal(8, plan.EvenInConductivity.Middle, 0.05);
    }

    [Fact]
    public void A_chosen_duration_is_met_unless_the_limit_forbids()
    {
        Assert.Equal(12, Planner.Make(Stations.River.Station, 12).EvenInConductivity.Middle, 0.1);
        var limited = Planner.Make(Stations.River.Station with { Limits = new() { MicrosiemensPerCmPerHour = 50 } }, 8);
        Assert.DoesNotContain(limited.Cautions, c => c.Kind == Caution.FasterThanLimit);
        Assert.True(limited.EvenInConductivity.Middle > 8);
        Assert.Throws<ArgumentOutOfRangeException>(() => Planner.Make(Stations.River.Station, 0.1));
    }

    [Fact]
    public void Waters_that_conduct_alike_take_as_long_as_three_quarters_of_the_water_need()
    {
        var alike = Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = 200, BagTemperatureCelsius = 22.5 }) with { Evaporation = new() };
        var plan = Planner.Make(alike);
        Assert.Equal(4.8 / 0.9, plan.Even.Middle, 6); // 1.6 L are a quarter of 6.4 L
        Assert.Equal(6.4, plan.WhenEven!.Value.Litres, 6);
        Assert.Equal(4, plan.FillNeedsStartVolumes, 9);
        // 226 against 185 is 41 apart: beyond the tolerance of 40, so conductivity tells, and is even almost at once.
        Assert.True(Planner.Make(Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = 226 })).EvenInConductivity.Middle < 0.1);
    }

    [Fact]
    public void A_drip_slows_as_its_head_shrinks()
    {
        // Head 1 m; 7.4 L lift the vessel by 164.4 mm and lower the tank by 15.4 mm: at the end the flow is 0.8202^0.75 = 0.8619 of the first. Time is the integral of
        // dV / (q0 (1 - V / 41.15 L)^0.75), 41.15 L being what takes the whole metre: 4 x 41.15 / 0.9 x (1 - 0.8202^0.25) = 8.843 h.
        var falling = Stations.River.With(drip: d => d with { HeadMetres = 1 }) with { Evaporation = new() };
        Assert.Equal(8.843, Planner.Make(falling).EvenInConductivity.Middle, 0.003);
        Assert.Equal(7.4 / 0.9, Planner.Make(falling with { Drip = falling.Drip with { HeadMetres = 20 } }).EvenInConductivity.Middle, 0.04);
    }

    [Fact]
    public void Whatever_passes_the_rules_gets_a_plan_and_what_fits_stays_below_its_mark()
    {
        var (fits, others) = (0, 0);
        Gen.Select(Gen.Double[0.2, 5], Gen.Double[3, 40], Gen.Double[0.05, 60], Gen.Double[20, 3000], Gen.Double[20, 3000], Gen.Double[5, 500], Gen.Double[10, 30], Gen.Double[0, 20])
            .Sample((start, brim, flow, bag, tank, tolerance, room, air) =>
            {
                var station = Stations.River.With(
                    v => v with { StartVolumeLitres = start, StartVolumeSdLitres = start * 0.03, BrimLitres = brim, BrimSdLitres = brim * 0.01, FreeboardLitres = brim * 0.1 },
                    d => d with { FlowMillilitresPerMinute = flow }, m => m with { ToleranceMicrosiemensPerCm = tolerance },
                    s => s with { MaxDrawLitres = 100, IntakeDepthMillimetres = 100 },
                    w => w with { BagMicrosiemensPerCm = bag, TankMicrosiemensPerCm = tank },
                    f => f with { LowLitres = null, HighLitres = null },
                    s => s with { FloatLowLine = null, FloatHighLine = null, VesselConductivity = s.VesselConductivity with { FeedbackOhms = 300 }, TankConductivity = s.TankConductivity! with { FeedbackOhms = 300 } },
                    s => s with { MaxOpenMinutes = 2880, MaxInflowLitres = Math.Max(0.1, brim - start) }) with
                {
                    Room = new() { TemperatureCelsius = room, Lid = true },
                    Evaporation = new() { MillilitresPerHour = air },
                    Limits = new(), // the river's own let too few of these waters through
                };
                if (StationRules.Check(station).Count > 0) return;
                var plan = Planner.Make(station);
                Interlocked.Increment(ref plan.Fits ? ref fits : ref others);
                if (!plan.Fits) return;
                Assert.True(plan.WhenClosed!.Value.Litres <= plan.Mark.Litres + 1e-6);
                Assert.True(Math.Abs(plan.WhenEven!.Value.MicrosiemensPerCm - tank) <= tolerance + 1e-6);
                Assert.True(plan.Even.Early <= plan.Even.Middle && plan.Even.Middle <= plan.Even.Late);
            }, iter: 200);
        Assert.True(fits > 5 && others > 20, $"{fits} fit, {others} do not");
    }

    [Fact] // 0.15 L that lose 10 mL an hour are gone after 15 h, where a warm room takes them over the animals' limit and the valve rests
    public void What_the_air_would_dry_up_under_a_resting_valve_is_planned_all_the_same()
    {
        var station = Stations.River.With(v => v with { StartVolumeLitres = 0.15, StartVolumeSdLitres = 0.01 }) with
        {
            Evaporation = new() { MillilitresPerHour = 10 },
            Pacing = new() { Path = PacePath.Limits },
            Limits = new() { MicrosiemensPerCmPerHour = 100, TotalCelsius = 1 },
            Room = new() { TemperatureCelsius = 28, Lid = true },
        };
        var plan = Planner.Make(station);
        Assert.All(plan.Obstacles, obstacle => Assert.Equal(Obstacle.AnimalLimit, obstacle.Kind));
        Assert.InRange(plan.Course.At(Course.HorizonHours).Litres, 0.05 * 0.15, 0.15);
        Assert.True(double.IsFinite(plan.Course.At(Course.HorizonHours).Celsius));
        Assert.All(Lateness.Of(Planner.Make(station, wishes: new() { BackHours = 40 })), late => Assert.InRange(late.CelsiusAtBack, 0, 28));
    }

    [Fact] // 0.2 L behind a standpipe at 10 mL/min: a hundredth of it comes in within 12 s, and there are 48 h; in steps of ten minutes they are 288
    public void A_paced_course_is_followed_closely_only_while_the_pace_holds_it_back()
    {
        var station = Stations.River.With(v => v with { StartVolumeLitres = 0.05, StartVolumeSdLitres = 0.001, BrimLitres = 0.6, FreeboardLitres = 0.1, Mode = VesselMode.Standpipe, StandpipeLitres = 0.2 }, d => d with { FlowMillilitresPerMinute = 10 }) with
        {
            Pacing = new() { Path = PacePath.Line, OverHours = 12 },
            Limits = new(),
            Evaporation = new(),
        };
        var plan = Planner.Make(station);
        Assert.InRange(plan.Course.Steps, 288, 3000);
        Assert.Equal(12 * (410 - 225) / 225.0, plan.EvenInConductivity.Middle, 0.1); // a straight line of 225 µS/cm in 12 h, to 40 before its end
    }

    [Fact]
    public void What_is_never_even_is_not_told_in_infinite_hours()
    {
        var station = Stations.River.With(drip: d => d with { FlowMillilitresPerMinute = 0.5 }, sensors: s => s with { TankConductivity = null });
        Assert.Contains("known to come not at all within 48 h; with a second probe", Assert.Single(Planner.Make(station).Cautions, c => c.Kind == Caution.NoTankProbe).Text, StringComparison.Ordinal);
    }

    /// <summary>
    /// By hand, the probes' gains alone in doubt: 0.021 of 185 µS/cm, 1.645 times that is 6.39. A vessel that must come within 10 then comes as soon as within 16.39 or as late as
    /// within 3.61, at 1.6 x 225 / 16.39 and / 3.61 L, of 3.6 L/h; one that is 43 off and may be 40 is so at once, or at 1.6 x 43 / 33.61 L.
    /// </summary>
    [Theory]
    [InlineData(410, 10, 60, 5.66, 27.26)]
    [InlineData(228, 40, 60, 0, 0.124)]
    public void Nine_of_ten_lie_between_the_ends_also_where_the_doubt_is_not_small(double bag, double tolerance, double flow, double early, double late)
    {
        var station = Stations.River.With(
            v => v with { StartVolumeSdLitres = 0.001 }, d => d with { FlowMillilitresPerMinute = flow, FlowRelativeSd = 0.005 }, m => m with { ToleranceMicrosiemensPerCm = tolerance },
            waters: w => w with { BagMicrosiemensPerCm = bag }) with { Evaporation = new(), Probes = new() };
        var told = Planner.Make(station).EvenInConductivity;
        Assert.Equal(early, told.Early, 0.03);
        Assert.Equal(late, told.Late, 0.01 * late);
    }

    /// <summary>
    /// By hand: a drip of 0.9 L/h holds the vessel 1.036 / 1.936 = 0.535 of 2.77 °C below the tank, 1.48, within 1.5; one of a twentieth less 0.547 of it, 1.51, never.
    /// </summary>
    [Fact]
    public void A_match_that_may_never_come_is_not_told_in_hours()
    {
        var station = Stations.River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 6 }) with { Room = new() { TemperatureCelsius = 20.23, Lid = true }, Evaporation = new() };
        var plan = Planner.Make(station);
        Assert.True(double.IsFinite(plan.Even.Middle) && double.IsPositiveInfinity(plan.Even.Late), $"{plan.Even}");
        Assert.Contains("The match may not come within 48 h at all, after the time budget of 13.0 h.", plan.Cautions.Select(c => c.Text));
    }
}
