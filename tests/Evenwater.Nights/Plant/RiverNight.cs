using Evenwater.Core.Estimation;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.Plant;

/// <summary>The demo station: 1.6 L at 410 µS/cm dripped to a tank at 185 µS/cm, 15 mL/min, even at 9.0 L, its mark at 10.4 L.</summary>
public static class RiverNight
{
    public static Prior Prior => new()
    {
        StartVolumeLitres = 1.6,
        StartVolumeRelativeSd = 0.02,
        BrimLitres = 11.6,
        BrimRelativeSd = 0.12 / 11.6,
        FreeboardLitres = 1.2,
        FlowMillilitresPerMinute = 15,
        FlowRelativeSd = 0.05,
        FloatLowLitres = 5.0,
        FloatHighLitres = 10.8,
        FloatSdLitres = 0.12,
        VesselAreaSquareMetres = Area,
        GainRatioRelativeSd = 0.003,
        ToleranceMicrosiemensPerCm = 40,
        EvaporationMillilitresPerHour = 1,
        RoomCelsius = 22.5,
    };

    private const double Area = 0.045;

    /// <summary>The night of this seed, at 1 Hz, with the lid on and a drip that keeps fairly still.</summary>
    public static Night Of(int seed, double hours = 12)
    {
        var chance = new Chance(seed);
        var prior = Prior;
        var plan = new NightPlan
        {
            Prior = prior,
            PeriodSeconds = 1,
            Seconds = hours * 3600,
            SpillSeconds = double.PositiveInfinity,
            StartLitres = prior.StartVolumeLitres * Math.Exp(prior.StartVolumeRelativeSd * chance.Gauss()),
            BrimLitres = prior.BrimLitres * (1 + (prior.BrimRelativeSd * chance.Gauss())),
            VesselMicrosiemens = 410,
            TankMicrosiemens = 185,
            BagCelsius = 19.5,
            TankCelsius = 23,
            Inflow = new Inflow.Setup
            {
                MillilitresPerMinute = 15 * Math.Exp(prior.FlowRelativeSd * chance.Gauss()),
                HeadLoss = 0.05,
                WanderSd = 0.02,
                WalkSdPerRootHour = 0.01,
            },
            Air = new Air(22.5, 0.5, 0.1 * Area, 2),
        };
        plan = Parts.Fit(plan, chance, prior.GainRatioRelativeSd, prior.FloatSdLitres, Area);
        return new NightMaker(plan, chance).Make($"river-{seed}", "river");
    }
}
