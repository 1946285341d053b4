using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.CoreTests.Stations;

namespace Evenwater.CoreTests.Planning;

/// <summary>What a plan's figures do not say by themselves.</summary>
public class PlanCautionTests
{
    private static readonly Plan River = Planner.Make(Stations.River.Station);

    public static TheoryData<Caution, Case> Concerns => new()
    {
        { Caution.Marine, Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = 50_000, TankMicrosiemensPerCm = 53_000 }, match: m => m with { ToleranceMicrosiemensPerCm = 800 }) },
        { Caution.PulsesInScatter, Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = 50_000, TankMicrosiemensPerCm = 53_000 }, match: m => m with { ToleranceMicrosiemensPerCm = 800 }) with { Pacing = new() { Path = PacePath.Limits }, Limits = new() { MicrosiemensPerCmPerHour = 1300 } } },
        { Caution.PulsesInScatter, Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = 148 }, match: m => m with { ToleranceMicrosiemensPerCm = 9 }) with { Pacing = new() { Path = PacePath.Limits }, Limits = new() { MicrosiemensPerCmPerHour = 9 } } }, // 0.4 % of 167 is more than a twentieth of 8.6
        { Caution.RestsElsewhere, Stations.River.Station with { Room = new() { TemperatureCelsius = 20.5, Lid = true } } },
        { Caution.FasterThanLimit, Stations.River.Station with { Limits = new() { MicrosiemensPerCmPerHour = 50 } } },
        { Caution.FurtherThanLimit, Stations.River.Station with { Limits = new() { TotalMicrosiemensPerCm = 180 } } }, // 410 to 225 is 185
        { Caution.FurtherThanLimit, Stations.River.Station with { Limits = new() { TotalCelsius = 2 } } },
        { Caution.FurtherThanLimit, Stations.River.With(waters: w => w with { BagPh = 6.6, TankPh = 7.2 }) with { Limits = new() { TotalPh = 0.5 } } },
        { Caution.TransitAmmonia, Stations.River.Station with { Arrival = new() { HoursInTransit = 20 } } },
        { Caution.MeasureBetter, Stations.River.Station with { Probes = new() } },
        { Caution.MissingProtection, Stations.River.Station with { Valve = new() { OnPowerLoss = PowerLoss.Stays } } },
        { Caution.MissingProtection, Stations.River.With(source: s => s with { AutomaticTopOff = true }) },
    };

    [Theory]
    [MemberData(nameof(Concerns), DisableDiscoveryEnumeration = true)]
    public void Each_concern_is_a_caution_that_the_river_does_not_have(Caution kind, Case given)
    {
        var station = given.Station;
        Assert.Contains(Planner.Make(station).Cautions, c => c.Kind == kind);
        Assert.DoesNotContain(River.Cautions, c => c.Kind == kind);
    }

    [Fact]
    public void That_it_fits_only_just_is_said_of_what_fits_alone()
    {
        static bool Said(Plan plan) => plan.Cautions.Any(c => c.Text.StartsWith("It fits only just", StringComparison.Ordinal));
        var unmatched = Stations.River.Station with { Probes = new() };
        Assert.True(Said(Planner.Make(unmatched))); // 9.2 L of 10.4, both probes 3 % of doubt
        var small = Planner.Make(unmatched with { Vessel = unmatched.Vessel with { BrimLitres = 10.2 }, Floats = unmatched.Floats with { HighLitres = 9.8 }, Safety = unmatched.Safety with { MaxInflowLitres = 8.6 } });
        Assert.Contains(small.Obstacles, o => o.Kind == Obstacle.VesselTooSmall);
        Assert.False(Said(small));
    }

    /// <summary>What the station has not got, or does already, is not advised.</summary>
    [Fact]
    public void A_caution_advises_what_this_station_can_do()
    {
        var untanked = Stations.River.With(sensors: s => s with { TankConductivity = null });
        Assert.Equal("It fits only just: measure start volume and brim more closely, or leave more room.", Text(untanked, Caution.OnlyJust));
        Assert.Contains(", match the probes in one cup, or", Text(Stations.River.Station with { Probes = new() }, Caution.OnlyJust), StringComparison.Ordinal);
        // 1.6 L become 9.0 L; of a pail of 10.7 L they are within an hour of its mark, and its probes were in one cup already.
        var narrow = Stations.River.With(v => v with { BrimLitres = 10.7 }, source: s => s with { IntakeDepthMillimetres = 18 }, floats: f => f with { HighLitres = 10.2 }, safety: s => s with { MaxInflowLitres = 9 }) with { Probes = new() { GainRatioSd = Probes.MatchedSd } };
        Assert.Equal("It fits only just: measure start volume and brim more closely, or leave more room.", Text(narrow, Caution.OnlyJust));
        var unseen = Stations.River.With(sensors: s => s with { FloatHighLine = null, LeakLine = null }, floats: f => f with { HighLitres = null });
        string[] acts = ["fit one, or stay beside", "put one there, or look"];
        Assert.Equal(acts.Length, Planner.Make(unseen).Cautions.Count(c => c.Kind == Caution.MissingProtection && acts.Any(act => c.Text.Contains(act, StringComparison.Ordinal))));
        var alike = Planner.Make(Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = 190 }));
        Assert.Contains(alike.Cautions, c => c.Kind == Caution.OnlyConductivity && c.Text.EndsWith("the run goes by the water replaced, 75 %, and drips on until that is sure.", StringComparison.Ordinal));
        // "As late as 9.1 h, after the time budget of 11.7 h": four hours to be sure come after it.
        var sure = Planner.Make(Stations.River.With(match: m => m with { DwellMinutes = 240 }, safety: s => s with { MaxOpenMinutes = 700 }));
        Assert.Contains(sure.Cautions, c => c.Kind == Caution.OnlyJust && c.Text.StartsWith($"The match may come as late as {sure.Even.Late + 4:0.0} h, its 240 min to be sure with it, after the time budget of 11.7 h", StringComparison.Ordinal));
        // 1.2 W/K into 1.6 L of water 3 °C colder than the room: nearly 2 °C an hour with the valve closed.
        var warmed = Stations.River.Station with { Limits = new() { CelsiusPerHour = 1 } };
        Assert.Contains("let pacing keep to the limits", Text(warmed, Caution.FasterThanLimit), StringComparison.Ordinal);
        Assert.Contains("although it is paced", Text(warmed with { Pacing = new() { Path = PacePath.Limits } }, Caution.FasterThanLimit), StringComparison.Ordinal);

        static string Text(Station station, Caution kind) => Planner.Make(station).Cautions.First(c => c.Kind == kind).Text;
    }

    /// <summary>Its mark is 0.3 - 0.02 L, and "0.3 L" would be its brim; in a cold room it comes to no match that would be told beside it.</summary>
    [Fact]
    public void A_cup_is_told_in_hundredths()
    {
        var plan = Planner.Make(Stations.River.With(v => v with { StartVolumeLitres = 0.05, StartVolumeSdLitres = 0.002, BrimLitres = 0.3, BrimSdLitres = 0.005, FreeboardLitres = 0.02 }, d => d with { FlowMillilitresPerMinute = 0.6 }, floats: f => f with { LowLitres = 0.15, HighLitres = 0.27 }) with { Room = new() { TemperatureCelsius = 15, Lid = true } });
        // 0.04 L become 0.04 x 225 / 40 = 0.23 L; 0.08 m2 x 3 mm are 0.24 L.
        var tray = Planner.Make(Stations.River.With(v => v with { StartVolumeLitres = 0.04, StartVolumeSdLitres = 0.001, BrimLitres = 0.3, BrimSdLitres = 0.005, FreeboardLitres = 0.02 }, d => d with { FlowMillilitresPerMinute = 0.6 }, source: s => s with { SurfaceAreaSquareMetres = 0.08, IntakeDepthMillimetres = 3 }, waters: w => w with { BagPh = 6.6, TankPh = 7.6 }, floats: f => f with { LowLitres = 0.15, HighLitres = 0.27 }) with { Arrival = new() { HoursInTransit = 20 } });
        Assert.Contains(tray.Cautions, c => c.Text.Contains("the match could then need up to 0.28 L", StringComparison.Ordinal));
        Assert.Contains($" mg/L in the {tray.WhenClosed!.Value.Litres:0.00} L at the end", tray.Ammonia!.Text, StringComparison.Ordinal);
        Assert.Contains(tray.Cautions, c => c.Text.Contains("falls to its intake after 0.24 L", StringComparison.Ordinal));
        Assert.StartsWith("The vessel would be at its mark, 0.28 L, after", plan.Obstacles.Single(o => o.Kind == Obstacle.VesselTooSmall).Text, StringComparison.Ordinal);
    }

    /// <summary>7.68 L can siphon; with a standpipe at 6 L and 3 L below it they are on the floor from 7.4 L on.</summary>
    [Theory]
    [InlineData(3, false)]
    [InlineData(4, true)]
    public void That_the_intake_ends_it_is_said_only_where_its_water_fits_the_catch_vessel(double catches, bool said)
    {
        var plan = Planner.Make(Stations.River.With(v => v with { Mode = VesselMode.Standpipe, StandpipeLitres = 6, StandpipeSdLitres = 0.1, CatchLitres = catches }, safety: s => s with { MaxInflowLitres = 7.4 }));
        Assert.True(plan.Fits);
        Assert.Equal(said, plan.Cautions.Any(c => c.Kind == Caution.IntakeEndsIt));
    }

    [Theory] // gsw 3.6.16, SP_from_C at 25 °C: 50 mS/cm 32.73, 53 mS/cm 34.95; 62.36 is 42, where the scale ends
    [InlineData(50_000, "the bag has 32.7 and the tank 34.9 in practical salinity")]
    [InlineData(64_000, "the bag has more than 42 and the tank 34.9")]
    public void Salt_waters_are_told_in_salinity_too(double bag, string told)
    {
        var plan = Planner.Make(Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = bag, TankMicrosiemensPerCm = 53_000 }, match: m => m with { ToleranceMicrosiemensPerCm = 800 }));
        Assert.Contains(told, Assert.Single(plan.Cautions, c => c.Kind == Caution.Marine).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Waters_of_unlike_make_up_may_need_a_larger_vessel_only_when_the_bag_is_the_stronger()
    {
        // s + 0.115 sqrt(s) (1 - s) = 40 / 225 gives s = 0.1407: 1.6 / 0.1407 = 11.4 L, above the mark.
        Assert.Contains(River.Cautions, c => c.Kind == Caution.UnlikeWaters && c.Text.Contains("11.4 L", StringComparison.Ordinal));
        var rising = Planner.Make(Stations.River.With(waters: w => w with { BagMicrosiemensPerCm = 185, TankMicrosiemensPerCm = 410 }));
        Assert.DoesNotContain(rising.Cautions, c => c.Kind == Caution.UnlikeWaters);
    }
}
