using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

/// <summary>What a plan says of the animals, of the tank, and of a keeper who is away.</summary>
public class ArrivalTests
{
    /// <summary>Half of the water is the tank's at the end: 1.6 L become 3.2 L, 10 left of 20 apart.</summary>
    private static readonly Station Half = River.With(
        waters: w => w with { BagMicrosiemensPerCm = 285, BagTemperatureCelsius = 25, TankTemperatureCelsius = 25 },
        match: m => m with { ToleranceMicrosiemensPerCm = 50, DwellMinutes = 0 }) with
    {
        Room = new() { TemperatureCelsius = 25, Lid = true },
        Evaporation = new(),
    };

    [Fact]
    public void Hardness_and_ammonia_thin_with_the_water_and_ph_follows_from_alkalinity_and_carbon()
    {
        // PHREEQC: pH 6.5 with 2.0 meq/L and pH 8.2 with 2.8 meq/L, one to one at 25 °C: 6.8745. 1 °d is 0.3566 meq/L.
        var station = Half with
        {
            Waters = Half.Waters with
            {
                BagPh = 6.5, TankPh = 8.2, BagCarbonateHardnessDegrees = 2.0 / 0.3566, TankCarbonateHardnessDegrees = 2.8 / 0.3566,
                BagGeneralHardnessDegrees = 12, TankGeneralHardnessDegrees = 4,
            },
            Arrival = new() { TotalAmmoniaMilligramsPerLitre = 3, NitriteMilligramsPerLitre = 0.4 },
        };
        var found = Planner.Make(station).Residuals.ToDictionary(r => r.What, r => r.AtEnd);
        Assert.Equal(8, found["general hardness, °d"].Middle, 1e-6);
        Assert.Equal((7.5, 8.5), (Math.Round(found["general hardness, °d"].Low, 6), Math.Round(found["general hardness, °d"].High, 6))); // half a degree of a drop test
        Assert.Equal(2.4 / 0.3566, found["carbonate hardness, °d"].Middle, 1e-6);
        Assert.Equal(1.5, found["ammonia in all, mg/L"].Middle, 1e-6);
        Assert.Equal(0.2, found["nitrite, mg/L"].Middle, 1e-6);
        Assert.Equal(6.8745, found["pH, without air"].Middle, 0.002);
        // Within a quarter of the difference a quarter of the hardness is left: 4 + 8 / 4.
        Assert.Equal(6, Planner.Make(station with { Match = station.Match with { ToleranceMicrosiemensPerCm = 25 } }).Residuals.First(r => r.Bag == 12).AtEnd.Middle, 1e-6);
        Assert.True(found["pH, without air"].Low < 6.8 && found["pH, without air"].High > 6.95);
        Assert.Contains(Planner.Make(station).Cautions, c => c.Kind == Caution.OnlyConductivity && c.Text.Contains("general hardness is still 8.0 °d then, the tank's 4.0", StringComparison.Ordinal));
    }

    [Fact]
    public void Tests_that_contradict_each_other_give_no_ph_and_no_crash()
    {
        var odd = Half with { Waters = Half.Waters with { BagPh = 10, TankPh = 7, BagCarbonateHardnessDegrees = 0, TankCarbonateHardnessDegrees = 4 } };
        Assert.DoesNotContain(Planner.Make(odd).Residuals, r => r.What.StartsWith("pH", StringComparison.Ordinal));
        Assert.Contains(Planner.Make(Half).Cautions, c => c.Kind == Caution.OnlyConductivity && c.Text.Contains("can hide different water", StringComparison.Ordinal));
    }

    [Fact]
    public void Oxygen_lasts_as_long_as_worked_by_hand()
    {
        // 30 animals of 0.2 g at 25 °C: 0.62 mg/(g h) (Clarke and Johnston combined), 8.25 mg/L at saturation: 1.6 L x 5.25 / (6 g x 0.62) = 2.26 h.
        var station = Half with { Arrival = new() { Animals = 30, TotalGrams = 6 } };
        var oxygen = Planner.Make(station).Oxygen!;
        Assert.Equal(2.26, oxygen.FirstHours.Middle, 0.03);
        Assert.Equal(0.9 * 5.25 / (6 * 0.62), oxygen.DripShare, 0.02);
        Assert.Contains(Planner.Make(station).Cautions, c => c.Kind == Caution.Oxygen && c.Text.Contains("2.3 h", StringComparison.Ordinal));
        Assert.Contains(Planner.Make(Half with { Arrival = new() { Animals = 1, TotalGrams = 12 } }).Cautions, c => c.Text.StartsWith("Oxygen: one animal of 12 g breathes ", StringComparison.Ordinal));
        Assert.Null(Planner.Make(Half).Oxygen);
        Assert.DoesNotContain(Planner.Make(Half with { Arrival = new() { Animals = 3, TotalGrams = 0.3 } }).Cautions, c => c.Kind == Caution.Oxygen);
    }

    [Fact]
    public void A_heater_that_the_plan_or_a_siphon_would_uncover_is_told()
    {
        // 7.4 L and the dwell on 0.48 m2: 15.7 mm; the intake is 16 mm deep.
        var plan = Planner.Make(River.With(source: s => s with { HeaterTopDepthMillimetres = 12 }));
        Assert.Contains(plan.Obstacles, o => o.Kind == Obstacle.HeaterExposed && o.Text.Contains("12 mm", StringComparison.Ordinal));
        var siphon = Planner.Make(River.With(source: s => s with { HeaterTopDepthMillimetres = 15.9 }));
        Assert.True(siphon.Fits);
        Assert.Contains(siphon.Cautions, c => c.Kind == Caution.Heater);
        Assert.DoesNotContain(Planner.Make(River.With(source: s => s with { HeaterTopDepthMillimetres = 20 })).Cautions, c => c.Kind == Caution.Heater);
        Assert.Equal(0, Planner.Make(River.With(source: s => s with { AutomaticTopOff = true, TopOffReservoirLitres = 50 })).TankLoss.FallsMillimetres);
    }

    [Fact]
    public void Being_late_and_twice_the_drip_are_told_with_what_a_valve_that_does_not_close_would_do()
    {
        // 40 mm on 0.48 m2 could siphon 19.2 L; 10 L are free. At 0.9 L/h the rim comes after 11.1 h, at 1.8 L/h after 5.6 h; by 10 h 18 L have run in.
        var station = River.With(source: s => s with { IntakeDepthMillimetres = 40 }) with { Evaporation = new(), Limits = new() };
        var cases = Lateness.Of(Planner.Make(station, wishes: new() { BackHours = 10 }));
        Assert.Equal([10, 12, 10, 12], cases.Select(c => c.BackHours));
        Assert.All(cases, c => Assert.True(c.Even));
        Assert.Null(cases[0].OverHours);
        Assert.Equal(10 / 0.9, cases[1].OverHours!.Value, 0.01);
        Assert.Equal(0.8, cases[1].SpiltLitres, 0.01);
        Assert.Equal(10 / 1.8, cases[2].OverHours!.Value, 0.01);
        Assert.Equal(8, cases[2].SpiltLitres, 0.01);
        Assert.Equal(9.2, cases[3].SpiltLitres, 0.01); // all that can siphon, not what twelve hours would bring
        Assert.Equal((7.4 / 1.8) + (10.0 / 60), cases[2].ClosedHours!.Value, 0.01);
        Assert.Empty(Lateness.Of(Planner.Make(station)));
    }

    /// <summary>Nothing is reckoned beyond 48 h.</summary>
    [Theory]
    [InlineData(46.5, "as planned 46.5, you are 1.5 h late 48, the drip runs twice as fast 46.5, both 48")]
    [InlineData(48, "as planned 48, the drip runs twice as fast 48")]
    public void Being_late_is_told_by_as_much_as_is_reckoned(double back, string told) =>
        Assert.Equal(told, string.Join(", ", Lateness.Of(Planner.Make(River.With(), wishes: new() { BackHours = back })).Select(late => $"{late.Case} {late.BackHours}")));

    [Fact] // By hand, conductivity alone: 60 mL/min make 1.6 L to 1.75 L in 2.5 min and 3.25 L in 27.5 min, 225 x 1.6 / 1.75 - 225 x 1.6 / 3.25 = 95 µS/cm in 25 min, 228 an hour; 30 mL/min 159.
    public void A_drip_that_runs_so_fast_that_the_animals_limit_closes_is_told_as_closed_then_and_not_as_even()
    {
        var station = River.With(drip: d => d with { FlowMillilitresPerMinute = 30 }, source: s => s with { IntakeDepthMillimetres = 20 }) with { Evaporation = new(), Limits = new() { MicrosiemensPerCmPerHour = 160 } };
        var cases = Lateness.Of(Planner.Make(station, wishes: new() { BackHours = 10 }));
        Assert.True(cases[0].Even);
        Assert.False(cases[0].ByLimit);
        Assert.Equal((false, true), (cases[2].Even, cases[2].ByLimit));
        Assert.Equal(0.5, cases[2].ClosedHours!.Value, 1e-9);
        Assert.Equal(1.6 + (0.5 * 3.6), cases[2].LitresAtBack, 0.01);
    }

    /// <summary>
    /// By hand, conductivity alone, at 0.9 L/h: after 2.5 min 1.6 L are 1.6375, 219.85 µS/cm from the tank; 100 less in 360 / 119.85 = 3.004 L, after 1.560 h, which a mean of five minutes tells
    /// 2.5 min later. Paced, the valve rests 95 from the bag, told from 94.05 on: in 360 / 130.95 = 2.749 L, after 1.277 h, and ten minutes later the run is closed.
    /// </summary>
    [Theory]
    [InlineData(false, 1.6015)]
    [InlineData(true, 1.4434)]
    public void What_goes_further_than_one_run_may_is_closed_there_while_the_keeper_is_away_as_the_plan_says(bool paced, double closedHours)
    {
        var station = River.With() with { Evaporation = new(), Limits = new() { TotalMicrosiemensPerCm = 100 }, Pacing = paced ? new() { Path = PacePath.Limits } : null };
        Assert.Contains(Planner.Make(station).Obstacles, o => o.Kind == Obstacle.AnimalLimit);
        var late = Lateness.Of(Planner.Make(station, wishes: new() { BackHours = 10 }))[0];
        Assert.Equal((false, true, false), (late.Even, late.ByLimit, late.RunsDry));
        Assert.Equal(closedHours, late.ClosedHours!.Value, 0.001);
    }

    [Fact] // 10 mm on 0.48 m2 are 4.8 L, at 0.9 L/h gone after 5.33 h; even would be 7.4 L
    public void A_tank_that_falls_to_its_intake_before_the_match_is_told_as_that_and_not_as_even()
    {
        var station = River.With(source: s => s with { IntakeDepthMillimetres = 10 }) with { Evaporation = new(), Limits = new() };
        var late = Lateness.Of(Planner.Make(station, wishes: new() { BackHours = 10 }))[0];
        Assert.Equal((false, false, true), (late.Even, late.ByLimit, late.RunsDry));
        Assert.Equal(4.8 / 0.9, late.ClosedHours!.Value, 1e-6);
        Assert.Equal(6.4, late.LitresAtBack, 1e-6);
    }

    [Fact] // the match ends at 9.15 L; three standard deviations below the float are 8.94 L
    public void A_plan_that_fits_below_its_high_float_is_even_too_while_the_keeper_is_away()
    {
        var station = River.With(floats: f => f with { HighLitres = 9.3, PositionSdLitres = 0.12 }) with { Evaporation = new(), Limits = new() };
        Assert.True(Planner.Make(station).Fits);
        Assert.True(Lateness.Of(Planner.Make(station, wishes: new() { BackHours = 10 }))[0].Even);
    }

    [Theory] // 8.25 L of 9.88 L drawn after 9.2 h leave 36.4 apart in 1.63 L, within 20 in 2.97 L, after 10.7 h; undrawn the mark, 10.4 L, comes after 8.8 / 0.9 = 9.78 h
    [InlineData(5, false, 1, 9.778)]
    [InlineData(10, true, 0, 10.685)]
    public void A_draw_off_that_is_planned_while_the_keeper_is_away_is_not_made(double leave, bool even, int missed, double closedHours)
    {
        var station = River.With(match: m => m with { ToleranceMicrosiemensPerCm = 20, DwellMinutes = 0 }, source: s => s with { IntakeDepthMillimetres = 40, MaxDrawLitres = 30 }) with
        {
            Evaporation = new(), Limits = new(), DrawOffs = [new(9.2 * 3600, 8.25, 0.02)],
        };
        var late = Lateness.Of(Planner.Make(station, wishes: new() { LeaveHours = leave, BackHours = 12 }))[0];
        Assert.Equal((even, missed), (late.Even, late.DrawOffsMissed));
        Assert.Equal(closedHours, late.ClosedHours!.Value, 0.005);
    }

    [Fact] // 2.4 L fill 1.6 L to the standpipe at 4 L, 2 L more fill what is below it: 4.4 L, at 0.9 L/h after 4.89 h; by 10 h 9 L have run in
    public void What_the_catch_vessel_of_a_standpipe_does_not_hold_is_told_as_water_on_the_floor()
    {
        var station = River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 4, CatchLitres = 2 }, source: s => s with { IntakeDepthMillimetres = 40 }) with { Evaporation = new(), Limits = new() };
        var late = Lateness.Of(Planner.Make(station, wishes: new() { BackHours = 10 }))[0];
        Assert.False(late.Even);
        Assert.Equal(4.4 / 0.9, late.ClosedHours!.Value, 1e-6);
        Assert.Equal(4.4 / 0.9, late.OverHours!.Value, 1e-6);
        Assert.Equal(4.6, late.SpiltLitres, 1e-6);
    }

    [Fact]
    public void Advice_leans_by_the_step_the_ammonia_and_the_waters_and_always_gives_reasons_both_ways()
    {
        Advice Of(Station station) => Planner.Make(station).Advice;
        Assert.Equal(Lean.InSteps, Of(River.With(waters: w => w with { BagMicrosiemensPerCm = 5000 })).Lean);
        var risen = Of(River.With(waters: w => w with { BagPh = 6.5, TankPh = 8.5 }) with { Arrival = new() { TotalAmmoniaMilligramsPerLitre = 3 } });
        Assert.Equal(Lean.AgainstIt, risen.Lean);
        Assert.NotEmpty(risen.For);
        Assert.Contains(risen.Against, reason => reason.Contains("0.404", StringComparison.Ordinal)); // Emerson: pKa 9.3083 at 23 °C, 1 / (1 + 10^0.8083) = 13.46 % of 3 mg/L
        var prawns = Of(River.With(waters: w => w with { BagMicrosiemensPerCm = 45_000, TankMicrosiemensPerCm = 48_000, BagTemperatureCelsius = 19, BagPh = 7.8, TankPh = 8.2 }, match: m => m with { ToleranceMicrosiemensPerCm = 600 })
            with { Limits = new() { Group = AnimalGroup.FleshyPrawn } });
        Assert.Equal(Lean.ForIt, prawns.Lean);
        Assert.Contains(prawns.Against, reason => reason.Contains("McDonald 2016", StringComparison.Ordinal));
        Assert.Contains("weak", Advice.Weakness, StringComparison.Ordinal);
    }
}
