using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

/// <summary>The ways beside the plan, on a river whose vessel is too small; worked by hand without evaporation, C - Ct = 225 x 1.6 / V.</summary>
public class AlternativesTests
{
    private static readonly Station Dry = River.Station with { Limits = new(), Evaporation = new(), Match = River.Station.Match with { DwellMinutes = 0 } };

    /// <summary>Within 20 it needs 18 L; the mark is 10.4 L. Time, budget and source are ample.</summary>
    private static readonly Station Small = Dry with
    {
        Match = Dry.Match with { ToleranceMicrosiemensPerCm = 20 },
        Safety = Dry.Safety with { MaxOpenMinutes = 2880 },
        Source = Dry.Source with { MaxDrawLitres = 60, IntakeDepthMillimetres = 100 },
    };

    private static IReadOnlyList<Way> Ways(Station station, PlanWishes? wishes = null)
    {
        Assert.Empty(StationRules.Check(station));
        return Alternatives.Of(Planner.Make(station, wishes: wishes));
    }

    private static Way The(string title, Station station, PlanWishes? wishes = null) => Assert.Single(Ways(station, wishes), way => Is(way, title));

    private static bool Is(Way way, string title) => way.Title.Contains(title, StringComparison.Ordinal);

    [Fact]
    public void One_drop_a_minute_is_one() => Assert.Contains("set the clamp to 1 drop a minute,", Ways(Dry with { Drip = Dry.Drip with { FlowMillilitresPerMinute = 0.05 } })[0].Asks, StringComparison.Ordinal);

    [Fact]
    public void A_plan_that_fits_stands_alone() => Assert.StartsWith("planned", Assert.Single(Ways(Dry)).Title, StringComparison.Ordinal);

    [Fact]
    public void A_larger_vessel_holds_what_a_fill_needs_with_a_tenth_to_spare()
    {
        var way = The("a larger vessel", Small);
        Assert.True(way.Fits, string.Join(' ', way.Obstacles));
        Assert.Equal(18, way.EndLitres!.Value, 1e-6);
        Assert.Equal(16.4 / 0.9, way.ReadyHours!.Value, 1e-6);
        Assert.Equal("a larger vessel, 23 L", way.Title); // 11.6 x 1.1 x 18 / 10.4 = 22.1, rounded up
    }

    [Fact] // by hand: with a standpipe at 8 L, 6.4 L and 8 ln(18 / 8) = 6.5 L more run in, where 9 L may; a tenth more than those 8 L is less than it holds
    public void A_vessel_that_is_large_enough_is_not_to_be_a_larger_one()
    {
        var piped = Small with { Vessel = Small.Vessel with { Mode = VesselMode.Standpipe, StandpipeLitres = 8 }, Safety = Small.Safety with { MaxInflowLitres = 9 } };
        Assert.Contains(Obstacle.VolumeBudget, Planner.Make(piped).Obstacles.Select(one => one.Kind));
        Assert.DoesNotContain(Ways(piped), way => Is(way, "a larger vessel"));
    }

    [Fact]
    public void A_standpipe_tells_what_runs_through_it()
    {
        var way = The("a standpipe", Small);
        Assert.True(way.Fits, string.Join(' ', way.Obstacles));
        // At 9.36 L: 7.76 L to there, then 9.36 ln(18 / 9.36) = 6.120 L through it.
        Assert.Equal(7.76 + 6.120, way.InflowLitres!.Value, 0.002);
        Assert.Equal(6.120, way.WasteLitres!.Value, 0.002);
        Assert.Contains("a catch vessel of 7.0 L", way.Asks, StringComparison.Ordinal); // a tenth more is 6.73
        Assert.EndsWith("State it: vessel.mode standpipe, standpipeLitres, catchLitres, and safety.maxInflowLitres 14.8.", way.Asks, StringComparison.Ordinal); // 7.76 + 7, and not the 10 L of the fill
        // 9.441 L are told as 9.4 L: to there, and 7 L below, is room for 14.76 L, and the rules refuse 14.8.
        // Within 34.5: 10.43 L, 9.36 ln(10.43 / 9.36) = 1.02 L through it, 1.5 L with a tenth more: room for 9.3 L, and the rules refuse the 10 L of the fill.
        Assert.EndsWith("maxInflowLitres 9.3.", The("a standpipe", Small with { Match = Small.Match with { ToleranceMicrosiemensPerCm = 34.5 } }).Asks, StringComparison.Ordinal);
        Assert.EndsWith("maxInflowLitres 14.7.", The("a standpipe", Small with { Vessel = Small.Vessel with { StartVolumeLitres = 1.64, BrimLitres = 11.69 } }).Asks, StringComparison.Ordinal);
    }

    [Fact]
    public void Less_bag_water_is_as_much_as_fits()
    {
        // 225 / 20 = 11.25 start volumes must stay below 0.92 of 10.4 L: at most 0.850 L, and the steps of a twentieth give 0.8. With 0.88 L the match at 9.9 L would be past where a calm night is closed.
        var way = The("less bag water", Small);
        Assert.True(way.Fits, string.Join(' ', way.Obstacles));
        Assert.Equal(9, way.EndLitres!.Value, 1e-6);
        Assert.Equal(0.8, way.WasteLitres!.Value, 1e-9);
        Assert.Contains("18 mm deep", way.Asks, StringComparison.Ordinal); // 0.8 L on 0.045 m2: 17.8
    }

    [Fact]
    public void A_partial_match_says_how_large_the_last_step_is()
    {
        // 0.92 of 10.4 L: 225 x 1.6 / 9.568 = 37.6, 17 % of the difference; 83.3 % is the tank's.
        var way = The("partial", Small);
        Assert.False(way.Fits);
        Assert.Empty(way.Obstacles);
        Assert.Equal(37.63, way.ShortBy!.Value, 0.01);
        Assert.Contains("38 µS/cm in one step", way.Asks, StringComparison.Ordinal);
        Assert.Contains("83 % of their water is the tank's", way.Asks, StringComparison.Ordinal);
    }

    [Fact] // at 60 mL/min ten minutes are 0.6 L: even at 9.568 - 0.6 = 8.968 L, 360 / 8.968 = 40.1 apart, and closed at 9.57 L; without it it would be planned even at 9.57 and closed at 10.17
    public void A_partial_match_leaves_room_for_the_dwell_time()
    {
        var fast = Small with { Match = Small.Match with { DwellMinutes = 10 }, Drip = Dry.Drip with { FlowMillilitresPerMinute = 60 } };
        var way = The("partial", fast);
        Assert.Empty(way.Obstacles);
        Assert.Equal(40.14, way.ShortBy!.Value, 0.01);
        Assert.True(Planner.Make(fast with { Match = fast.Match with { ToleranceMicrosiemensPerCm = 41 } }).Fits); // as it says
    }

    [Fact]
    public void No_partial_match_is_told_that_is_nearer_than_the_whole_one()
    {
        // 7 L may run in, where a match takes 7.4. 0.92 of 10.4 L is 38 apart, and 40 is the tolerance.
        var tight = Dry with { Safety = Dry.Safety with { MaxInflowLitres = 7 } };
        Assert.Equal([Obstacle.VolumeBudget], Planner.Make(tight).Obstacles.Select(o => o.Kind));
        Assert.DoesNotContain(Ways(tight), way => Is(way, "partial"));
        // 400 mL/min and ten minutes of dwell are 4 L beyond the 9 L of the match: past the mark. Even at 9.57 - 4 = 5.57 L, 65 apart, it stays below.
        Assert.Equal(64.66, The("partial", Dry with { Match = River.Station.Match, Drip = Dry.Drip with { FlowMillilitresPerMinute = 400 } }).ShortBy!.Value, 0.01);
    }

    [Fact]
    public void Draw_offs_come_when_the_vessel_is_nearly_full_and_somebody_is_there()
    {
        // Full at 9.568 L after 8.85 h: 7.95 L drawn leave 1.618 L at 37.63 apart, which is 20 at 3.04 L, 1.58 h later.
        var way = The("draw-off", Small);
        Assert.True(way.Fits, string.Join(' ', way.Obstacles));
        Assert.Contains("; 7.95 L to throw away", way.Asks, StringComparison.Ordinal); // "Draw 7.95 L, ...; 8.0 L to throw away"
        Assert.Contains("7.95 L after 8.85 h", way.Asks, StringComparison.Ordinal);
        Assert.Equal(8.853 + (((37.63 * 1.618 / 20) - 1.618) / 0.9), way.ReadyHours!.Value, 0.01);
        Assert.Contains("Plan them as drawOffs, or the run", way.Asks, StringComparison.Ordinal); // 7.97 L and 1.43 L are within 10 L
        var tight = The("draw-off", Small with { Safety = Small.Safety with { MaxInflowLitres = 9 } });
        Assert.Contains("Plan them as drawOffs, and safety.maxInflowLitres 10.3, or the run", tight.Asks, StringComparison.Ordinal); // a tenth more than 9.39 L
    }

    [Fact]
    public void Draw_offs_come_earlier_when_nobody_is_there_later_and_not_at_all_when_that_is_too_early()
    {
        PlanWishes Until(double hours) => new() { Present = [new PlanWishes.Span(0, hours), new PlanWishes.Span(16, 48)] };
        // At 6 h it holds 7 L at 51.4 apart; 5.4 L drawn leave 1.6 L, and even within 20 at 4.11 L, 2.8 h later.
        var early = The("draw-off", Small, Until(6));
        Assert.True(early.Fits, string.Join(' ', early.Obstacles));
        Assert.Contains("5.4 L after 6.0 h", early.Asks, StringComparison.Ordinal);
        Assert.Equal(6 + (((51.43 * 1.6 / 20) - 1.6) / 0.9), early.ReadyHours!.Value, 0.01);
        // At 0.3 h there is nothing to draw yet.
        var none = The("draw-off", Small, Until(0.3));
        Assert.False(none.Fits);
        Assert.Null(none.ReadyHours);
        Assert.Contains("nobody is home and awake", none.Asks, StringComparison.Ordinal);
    }

    [Fact]
    public void A_wish_to_be_done_sooner_asks_for_a_faster_drip_and_the_plan_does_not_fit()
    {
        var wishes = new PlanWishes { DoneByHours = 2 };
        Assert.Contains(Planner.Make(Dry, wishes: wishes).Obstacles, o => o.Kind == Obstacle.Deadline);
        var way = The("faster", Dry with { Limits = River.Station.Limits }, wishes);
        // Late by ln(1 + 1.645 x 0.02) = 0.0324 for the first water, 0.0823 for the drip, and 0.0280 for the probes (360 / (40 - 1.645 x 0.003 x 185) = 9.21 L, 7.61 L in place of 7.4):
        // as squares exp(0.0927) = 1.097. 7.4 L in 2 h / 1.097 = 1.823 h: 67.7 mL/min: 1.77 L and 203.5 apart in the first five minutes, 3.46 L and 104.0 in the last of half an hour, so 239 an hour.
        Assert.Equal("faster, 67.7 mL/min", way.Title);
        Assert.Equal(7.4 / (67.7 * 0.06), way.ReadyHours!.Value, 0.001);
        Assert.False(way.Fits);
        Assert.Contains(way.Obstacles, o => o.Kind == Obstacle.AnimalLimit && o.Text.StartsWith("The conductivity changes by up to 239 µS/cm an hour; the limit is 150 ", StringComparison.Ordinal) && o.Text.EndsWith("and the valve closes there.", StringComparison.Ordinal));
        Assert.DoesNotContain("in time", way.Asks, StringComparison.Ordinal);
        Assert.Contains(Ways(Dry, new PlanWishes { DoneByHours = 14 }), other => other.Title.StartsWith("gentler", StringComparison.Ordinal));
        Assert.DoesNotContain(Ways(Dry, new PlanWishes { DoneByHours = 9 }), other => Is(other, "faster") || Is(other, "gentler"));
    }

    [Fact] // A first water known to 15 % comes late by ln(1 + 1.645 x 0.15) = 0.220, with the drip's 0.082 and the probes' 0.028 exp(0.237) = 1.267, where the drip alone had allowed for 1.082.
    public void Nineteen_nights_of_twenty_are_all_that_is_in_doubt_and_not_the_drip_alone()
    {
        var eye = Dry with { Vessel = Dry.Vessel with { StartVolumeSdLitres = 0.24 } };
        var way = The("gentler", eye, new PlanWishes { DoneByHours = 12 });
        Assert.Equal(12 / 1.267, way.ReadyHours!.Value, 0.05);
        Assert.EndsWith("then done in time on 19 nights of 20.", way.Asks, StringComparison.Ordinal);
        var flow = double.Parse(way.Title.Split(' ')[1], System.Globalization.CultureInfo.InvariantCulture);
        var planned = Planner.Make(eye with { Drip = eye.Drip with { FlowMillilitresPerMinute = flow } });
        Assert.InRange(planned.Even.Late, 11.5, 12.06);
        // A plan that never ends has no late end: 1 mL/min needs 123 h.
        Assert.EndsWith("then done in time on 19 nights of 20.", The("faster", eye with { Drip = eye.Drip with { FlowMillilitresPerMinute = 1 } }, new PlanWishes { DoneByHours = 12 }).Asks, StringComparison.Ordinal);
        // Done after 8.2 h, and 9.7 h are allowed: surely in time only when it is faster, which is no gentler drip and nobody asked for one.
        Assert.DoesNotContain(Ways(eye, new PlanWishes { DoneByHours = 9.7 }), other => Is(other, "gentler") || Is(other, "faster"));
    }

    [Fact]
    public void A_paced_drip_is_faster_and_keeps_within_its_limit()
    {
        // 45 mL/min; r = 0.95 x 60 µS/cm an hour. In a fill q = r V² / (V0 d0) until that is the drip, at V = sqrt(2.7 x 360 / 57) = 4.129 L; 1/V0 - 1/V = r t / (V0 d0) gives
        // 360 / 57 x (1 / 1.6 - 1 / 4.129) = 2.418 h to there, and the drip as it is (9 - 4.129) / 2.7 = 1.804 h more. Held open, 360 / 1.7125 = 210.2 apart
        // in the first five minutes become 360 / 2.8375 = 126.9 in the last of half an hour: 200 an hour.
        var way = The("in pulses", Dry with { Limits = new() { MicrosiemensPerCmPerHour = 60 } });
        Assert.Equal("in pulses, 45 mL/min", way.Title);
        Assert.True(way.Fits, string.Join(' ', way.Obstacles));
        Assert.Equal(2.418 + 1.804, way.ReadyHours!.Value, 0.02);
        Assert.Contains("At most 57 µS/cm an hour; the same drip without pulses: 200", way.Asks, StringComparison.Ordinal);
        var own = Dry with { Limits = new() { MicrosiemensPerCmPerHour = 60 }, Pacing = new() { Path = PacePath.Limits }, Drip = Dry.Drip with { FlowMillilitresPerMinute = 45 } };
        Assert.Equal(way.ReadyHours!.Value, Planner.Make(own).WhenClosed!.Value.Hours, 1e-9);
        Assert.Equal(7.4 / 2.7, The("held open", own).ReadyHours!.Value, 1e-6);
    }

    [Fact]
    public void A_drip_of_more_than_a_line_gives_is_paced_as_it_is_and_none_is_told_finer_than_it_can_be_set()
    {
        var limits = new Limits { MicrosiemensPerCmPerHour = 60 };
        var wide = The("in pulses", Dry with { Limits = limits, Drip = Dry.Drip with { FlowMillilitresPerMinute = 70 } });
        Assert.Equal("in pulses, 70 mL/min", wide.Title);
        Assert.DoesNotContain("sooner", wide.Asks, StringComparison.Ordinal);
        var odd = The("in pulses", Dry with { Limits = limits, Drip = Dry.Drip with { FlowMillilitresPerMinute = 9.26 } }); // 27.78
        Assert.Equal("in pulses, 27.8 mL/min", odd.Title);
        Assert.Contains("27.8 mL/min", odd.Asks, StringComparison.Ordinal);
    }

    [Fact]
    public void A_cold_room_is_met_by_foam_a_lid_and_a_warmer_room()
    {
        // Settles at (0.9 x 23 + 1.036 x 15) / 1.936 = 18.7. With foam 0.3627 L/h: (20.7 + 5.44) / 1.2627 = 20.70: better, and still out of 1.5.
        var cold = Dry with { Room = new() { TemperatureCelsius = 15 } };
        Assert.False(The("planned", cold).Fits);
        Assert.Equal(20.70, The("foam", cold).SettlesAt.Celsius, 0.01);
        var room = The("a room", cold);
        Assert.Equal((true, true, "a room at 23.0 °C"), (room.Fits, room.TemperatureHolds, room.Title));
        Assert.InRange(The("a lid", cold).SettlesAt.Celsius, 19.5, 19.8); // 0.6735 L/h: (20.7 + 10.10) / 1.5735 = 19.58
        // A drip that settles at 21.5 is at least 4.49 L/h, and takes more water to get there than the vessel has room for.
        Assert.Equal([Obstacle.VesselTooSmall], The("faster", cold).Obstacles.Where(o => o.Kind is Obstacle.VesselTooSmall or Obstacle.TemperatureStops).Select(o => o.Kind));
        Assert.DoesNotContain(Ways(cold with { Room = cold.Room with { Lid = true } }), way => Is(way, "a lid"));
    }

    [Fact]
    public void Other_vessels_in_a_cold_room_are_reckoned_in_a_warmer_one_and_say_so()
    {
        var way = The("a larger vessel", Small with { Room = new() { TemperatureCelsius = 15, Lid = true } });
        Assert.True(way.Fits, string.Join(' ', way.Obstacles));
        Assert.EndsWith("Reckoned with the room at 23.0 °C.", way.Asks, StringComparison.Ordinal);
    }

    [Fact]
    public void Titles_fit_their_column()
        => Assert.All(Ways(Small with { Room = new() { TemperatureCelsius = 15 } }), way => Assert.InRange(way.Title.Length, 4, 24));
}
