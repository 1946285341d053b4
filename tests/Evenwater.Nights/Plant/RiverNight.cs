using Evenwater.Core.Estimation;

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
        GainRatioRelativeSd = 0.003,
        ToleranceMicrosiemensPerCm = 40,
        EvaporationMillilitresPerHour = 1,
    };

    public static PlainNight.Setup Setup => new(Prior, 410, 185, 15) { HeadLoss = 0.05, EvaporationMillilitresPerHour = 1, PeriodSeconds = 1 };
}
