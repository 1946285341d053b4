using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

/// <summary>What keeps a plan from fitting, told with its figures; and what does not, though it is near. Without evaporation, so that it can be worked by hand.</summary>
public class PlanObstacleTests
{
    private static readonly Plan OfRiver = Planner.Make(River.Station);
    private static readonly Station Dry = River.With(source: s => s with { IntakeDepthMillimetres = 40 }) with { Evaporation = new(), Limits = new() };

    [Fact] // 7.4 L at 0.9 L/h are 8.22 h, and ten minutes more until it closes
    public void A_time_budget_is_told_in_hours() =>
        Assert.Equal(["The time budget of 8.0 h ends before the match at 8.4 h."], Told(Dry with { Safety = Dry.Safety with { MaxOpenMinutes = 480 } }));

    /// <summary>Its mark is 9.0 L, there after 8.22 h; at 8.56 h, twenty minutes after it is even, it would hold 9.3. Of one that is drawn off later what it needs is no single number.</summary>
    [Theory]
    [InlineData(false, "The vessel would be at its mark, 9.0 L, after 8.2 h, before it is even, and a match needs 9.3 L.")]
    [InlineData(true, "The vessel would be at its mark, 9.0 L, after 8.2 h, before it is even.")]
    public void A_vessel_that_is_too_small_says_what_a_match_needs(bool drawnLater, string told)
    {
        var small = Dry with { Vessel = Dry.Vessel with { BrimLitres = 10.2 }, Floats = new(), Match = Dry.Match with { DwellMinutes = 20 }, DrawOffs = drawnLater ? [new DrawOff(8.3 * 3600, 0.05, 0.02)] : [] };
        Assert.Equal([told], Told(small));
    }

    /// <summary>The whole way is 225 - 40 = 185 µS/cm and less than 3.5 °C: limits of 230 and 4 hold nothing up, paced or not, neither in the plan nor while the keeper is away.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_limit_of_the_whole_run_that_lies_beyond_the_tank_is_no_obstacle(bool paced)
    {
        var station = Dry with { Limits = new() { TotalMicrosiemensPerCm = 240, TotalCelsius = 4 }, Pacing = paced ? new() { Path = PacePath.Limits } : null };
        Assert.Empty(Told(station));
        var late = Lateness.Of(Planner.Make(station, wishes: new() { BackHours = 12 }))[0];
        Assert.Equal((true, false), (late.Even, late.ByLimit));
    }

    /// <summary>A cold room holds the vessel away from the tank, and that is told as such: the limits of the whole run are not what it meets.</summary>
    [Fact]
    public void A_paced_run_that_the_room_keeps_from_its_match_is_not_told_to_go_too_far()
    {
        var cold = Dry with
        {
            Pacing = new() { Path = PacePath.Limits }, Room = new() { TemperatureCelsius = 17, Lid = true }, Limits = new() { TotalMicrosiemensPerCm = 240, TotalCelsius = 4 },
            Match = Dry.Match with { TemperatureToleranceCelsius = 0.5 },
        };
        Assert.Equal(["The conductivity will match, the temperature will stop at 19.8 °C, 3.2 °C from the tank's."], Told(cold)); // (0.9 x 23 + 1.036 x 17) / 1.936
    }

    /// <summary>A change of temperature closes the valve as one of conductivity does: 2 °C of 3.5 in a whole run, a paced one ten minutes after it rests at 1.9; 1 °C in an hour, which the first half hour passes. As the running program has it, means of five minutes are compared.</summary>
    [Theory]
    [InlineData(2.0, null, false, 2.0, 2.25)]
    [InlineData(2.0, null, true, 1.88, 2.1)]
    [InlineData(null, 1.0, false, 1.0, 1.5)]
    public void While_the_keeper_is_away_a_limit_of_temperature_closes_too(double? total, double? perHour, bool paced, double least, double most)
    {
        var station = Dry with { Limits = new() { TotalCelsius = total, CelsiusPerHour = perHour }, Pacing = paced ? new() { Path = PacePath.Limits } : null };
        var late = Lateness.Of(Planner.Make(station, wishes: new() { BackHours = 12 }))[0];
        Assert.Equal((false, true), (late.Even, late.ByLimit));
        Assert.InRange(Course.Of(station, 1.6, 0.9).At(late.ClosedHours!.Value).Celsius - 19.5, least, most);
    }

    public static TheoryData<Obstacle, Case> Shortcomings => new()
    {
        { Obstacle.TimeBudget, River.With(safety: s => s with { MaxOpenMinutes = 480 }) },
        { Obstacle.VolumeBudget, River.With(safety: s => s with { MaxInflowLitres = 7 }) },
        { Obstacle.SourceDraw, River.With(source: s => s with { MaxDrawLitres = 7 }) },
        { Obstacle.IntakeRunsDry, River.With(source: s => s with { IntakeDepthMillimetres = 15 }) }, // 7.2 L
        { Obstacle.HighFloatFirst, River.With(floats: f => f with { HighLitres = 8.9 }) },
        { Obstacle.AnimalLimit, River.Station with { Limits = new() { CelsiusPerHour = 1 } } },
        { Obstacle.AnimalLimit, River.Station with { Limits = new() { TotalMicrosiemensPerCm = 180 } } }, // from about 406 in the first five minutes to 224
        { Obstacle.AnimalLimit, River.Station with { Limits = new() { TotalCelsius = 2 } } },
        { Obstacle.TooSlow, River.With(drip: d => d with { FlowMillilitresPerMinute = 0.5 }) },
        { Obstacle.DrawOffTooLarge, River.Station with { DrawOffs = [new DrawOff(3600, 5, 0.02)] } }, // 2.5 L then
        { Obstacle.VesselTooSmall, River.With(v => v with { BrimLitres = 10.2 }, floats: f => f with { HighLitres = 9.8 }, safety: s => s with { MaxInflowLitres = 8.6 }) },
    };

    [Fact] // 15 mm on 0.48 m2 are 7.2 L, and 7.65 L are 15.9 mm
    public void An_intake_that_is_too_shallow_is_told_with_the_depth_that_would_do()
    {
        var shallow = River.With(source: s => s with { IntakeDepthMillimetres = 15 });
        var only = Assert.Single(Planner.Make(shallow).Obstacles);
        Assert.EndsWith(" Set it to 16 mm below the surface or more, or begin with less bag water.", only.Text, StringComparison.Ordinal);
        Assert.Empty(Planner.Make(River.With(source: s => s with { IntakeDepthMillimetres = 16 })).Obstacles);
    }

    /// <summary>Paced, the valve rests at 0.95 of the limit and the plan comes to no match at all: the limit is why, and not the drip.</summary>
    [Theory]
    [InlineData(100.0, null, "The match is further off in conductivity than one run may go, 100 µS/cm (the station file), and the valve closes there.")]
    [InlineData(null, 2.0, "The match is further off in temperature than one run may go, 2 °C (the station file), and the valve closes there.")]
    public void A_paced_plan_that_ends_at_the_limit_of_one_run_says_so(double? conductivity, double? celsius, string expected)
    {
        var plan = Planner.Make(River.Station with
        {
            Pacing = new() { Path = PacePath.Limits }, Limits = new() { MicrosiemensPerCmPerHour = 160, TotalMicrosiemensPerCm = conductivity, CelsiusPerHour = 5, TotalCelsius = celsius },
        });
        Assert.Null(plan.WhenEven);
        Assert.Equal((Obstacle.AnimalLimit, expected), Assert.Single(plan.Obstacles) is var only ? (only.Kind, only.Text) : default);
    }

    [Theory]
    [MemberData(nameof(Shortcomings), DisableDiscoveryEnumeration = true)]
    public void Each_shortcoming_is_an_obstacle_of_its_own(Obstacle kind, Case given)
    {
        var station = given.Station;
        Assert.Empty(StationRules.Check(station));
        var plan = Planner.Make(station);
        Assert.False(plan.Fits);
        Assert.Contains(plan.Obstacles, o => o.Kind == kind);
        Assert.DoesNotContain(OfRiver.Obstacles, o => o.Kind == kind);
    }

    [Fact]
    public void A_limit_is_judged_over_half_an_hour_as_the_valve_is_closed_by_it()
    {
        // 360 µS L/cm of difference: at 30 mL/min 1.675 L in the first five minutes, 2.425 L in the last of half an hour, 66.5 apart, so 159.5 in an hour; at 35 mL/min 1.6875 and 2.5625 L, so 174.8.
        static Plan At(double flow) => Planner.Make(River.With(drip: d => d with { FlowMillilitresPerMinute = flow }, source: s => s with { IntakeDepthMillimetres = 40 }) with
        {
            Limits = new() { MicrosiemensPerCmPerHour = 160 }, Evaporation = new(),
        });
        Assert.True(At(30).Fits, string.Join(' ', At(30).Obstacles));
        var fast = At(35);
        Assert.Equal("The conductivity changes by up to 175 µS/cm an hour; the limit is 160 (the station file), and the valve closes there.", Assert.Single(fast.Obstacles, o => o.Kind == Obstacle.AnimalLimit).Text);
        // Half a litre at 400 mL/min: 225 apart are 40 at 2.81 L, after 5.8 min, before half an hour is seen.
        var rushed = Planner.Make(River.With(
            v => v with { StartVolumeLitres = 0.5, StartVolumeSdLitres = 0.01 }, d => d with { FlowMillilitresPerMinute = 400 }, m => m with { DwellMinutes = 0, TemperatureToleranceCelsius = 5 }, s => s with { IntakeDepthMillimetres = 40 }) with
        {
            Limits = new() { MicrosiemensPerCmPerHour = 160 }, Evaporation = new(),
        });
        Assert.StartsWith("The conductivity changes by up to 185 µS/cm an hour; the limit is 160 ", Assert.Single(rushed.Obstacles, o => o.Kind == Obstacle.AnimalLimit).Text, StringComparison.Ordinal);
        Assert.Contains(fast.Cautions, c => c.Kind == Caution.FasterThanLimit && c.Text.Contains("slow the drip", StringComparison.Ordinal));
    }

    private static string[] Told(Station station) => [.. Planner.Make(station).Obstacles.Select(o => o.Text)];
}
