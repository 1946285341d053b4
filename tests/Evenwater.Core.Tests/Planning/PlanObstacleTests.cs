using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

/// <summary>What keeps a plan from fitting, told with its figures; and what does not, though it is near. Without evaporation, so that it can be worked by hand.</summary>
public class PlanObstacleTests
{
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
        var late = Lateness.Of(station, FlowRate.FromMillilitresPerMinute(15), new PlanWishes { BackHours = 12 })[0];
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
        var late = Lateness.Of(station, FlowRate.FromMillilitresPerMinute(15), new PlanWishes { BackHours = 12 })[0];
        Assert.Equal((false, true), (late.Even, late.ByLimit));
        Assert.InRange(Course.Of(station, 1.6, 0.9).At(late.ClosedHours!.Value).Celsius - 19.5, least, most);
    }

    private static string[] Told(Station station) => [.. Planner.Make(station).Obstacles.Select(o => o.Text)];
}
