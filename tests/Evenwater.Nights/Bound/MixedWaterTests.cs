using Evenwater.Core.Estimation;
using Evenwater.Nights.Plant;

namespace Evenwater.Nights.Bound;

/// <summary>The bound's water against the plant's, both without chance.</summary>
public sealed class MixedWaterTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData("nominal", 11)]
    [InlineData("nominal", 12)]
    [InlineData("nominal", 13)]
    [InlineData("standpipe", 14)]
    [InlineData("unequal-waters", 15)]
    [InlineData("draw-offs", 16)]
    [InlineData("surge", 17)]
    public void A_minute_at_a_time_it_does_what_the_plant_does_in_seconds(string kind, int seed)
    {
        var plan = PlantKinds.Named(kind).Plan(seed, Care.Usual).Plan;
        plan = plan with
        {
            PeriodSeconds = 1,
            SpillSeconds = double.PositiveInfinity,
            TankWanderSd = 0,
            Inflow = plan.Inflow with { WanderSd = 0, WalkSdPerRootHour = 0, ReopenSd = 0, Changes = [.. plan.Inflow.Changes.TakeLast(kind == "surge" ? 1 : 0)] },
            VesselProbe = new() { LagSeconds = plan.VesselProbe.LagSeconds, Step = 1e-6 },
        };
        var night = new NightMaker(plan, new Chance(1)).Make(kind, kind);
        var latents = Of(plan);
        var water = new MixedWater(latents, open: true);
        var open = new ValvePlan(plan.Prior.ValveCommands);
        var (worstLitres, worstFelt, worstMean) = (0.0, 0.0, 0.0);
        for (var i = 0; i < plan.Seconds / Steps.Seconds; i++)
        {
            var seconds = i * Steps.Seconds;
            var row = night.Rows[(int)seconds];
            if (i % 15 == 0)
            {
                var truth = night.Truth!.Rows[(int)(seconds / 15)];
                worstLitres = Math.Max(worstLitres, Math.Abs(Math.Log(water.Litres / truth.Litres)));
                worstMean = Math.Max(worstMean, Math.Abs(Math.Log(water.Mean / truth.Vessel)));
                Assert.True(row.Readings[Core.Channel.VesselConductivity].TryGet(out var read));
                worstFelt = Math.Max(worstFelt, Math.Abs(Math.Log(water.Felt / read)));
            }

            for (var j = 0; j < plan.Prior.DrawOffs.Count; j++)
            {
                if ((int)Math.Round(plan.Prior.DrawOffs[j].AtSeconds / Steps.Seconds) == i)
                {
                    water.Take(plan.Prior.DrawOffs[j].Litres * plan.DrawnFactors[j]);
                }
            }

            Assert.True(row.Readings[Core.Channel.VesselTemperature].TryGet(out var celsius));
            var middle = seconds + (0.5 * Steps.Seconds);
            water.Step(
                latents, open.OpenSeconds(seconds, Steps.Seconds) / Steps.Seconds, (latents.TrendPerHour * middle / 3600) + NightLikelihood.EventLn(latents, middle),
                plan.TankMicrosiemens, plan.Air.EvaporationFrom(celsius - plan.VesselThermometerOffset) * Steps.Seconds);
        }

        output.WriteLine($"litres {worstLitres:0.00000}, mean {worstMean:0.00000}, probe {worstFelt:0.00000}");
        Assert.InRange(worstLitres, 0, 0.003);
        Assert.InRange(worstMean, 0, 0.001);
        Assert.InRange(worstFelt, 0, 0.001);
    }

    private static Latents Of(NightPlan plan) => new()
    {
        StartLitres = plan.StartLitres,
        BrimLitres = plan.BrimLitres,
        MarkLitres = plan.MarkLitres,
        CeilingLitres = Math.Min(plan.StandpipeLitres ?? plan.BrimLitres, plan.BrimLitres),
        FlowMillilitresPerMinute = plan.Inflow.MillilitresPerMinute,
        HeadLoss = plan.Inflow.HeadLoss,
        LaminarShare = plan.Inflow.LaminarShare,
        TrendPerHour = plan.Inflow.TrendPerHour,
        Vessel = plan.VesselMicrosiemens,
        Tank = plan.TankMicrosiemens,
        SurfaceShare = plan.Stirring.SurfaceShare,
        FloorShare = plan.Stirring.FloorShare,
        SurfaceSeconds = plan.Stirring.SurfaceSeconds,
        FloorSeconds = plan.Stirring.FloorSeconds,
        StillShare = plan.Stirring.StillShare,
        PlungeShare = plan.Stirring.PlungeShare,
        TouchShare = plan.Stirring.TouchShare,
        ProbeZone = plan.Stirring.ProbeZone,
        LagSeconds = plan.VesselProbe.LagSeconds,
        EventSeconds = plan.Inflow.Changes is [var only] ? only.AtSeconds : 0,
        EventLn = plan.Inflow.Changes is [var one] ? Math.Log(one.Factor) : 0,
        EventOverSeconds = plan.Inflow.Changes is [var sole] ? sole.OverSeconds : 0,
    };
}
