using Evenwater.Core.Estimation;

namespace Evenwater.Nights.Plant;

/// <summary>Nights of all sorts without trouble: fresh and marine, flow timed or not, floats or none, good and poor guesses.</summary>
public static class AnyNight
{
    public static PlainNight Of(int seed)
    {
        var random = new Random(seed * 7919);
        double Between(double low, double high) => low + ((high - low) * random.NextDouble());
        var marine = random.Next(4) == 0;
        var tank = marine ? Between(45_000, 53_000) : Between(100, 800);
        var apart = tank * (marine ? Between(0.03, 0.1) : Between(0.25, 1.2)) * (random.Next(2) == 0 || !marine ? 1 : -1);
        var start = Between(1.2, 4);
        var brim = start * Between(2.5, 7);
        var flow = Math.Exp(Between(Math.Log(6), Math.Log(45)));
        var floats = random.Next(3);
        var prior = new Prior
        {
            StartVolumeLitres = start,
            StartVolumeRelativeSd = Between(0.02, 0.15),
            BrimLitres = brim,
            FreeboardLitres = 0.1 * brim,
            FlowMillilitresPerMinute = random.Next(3) > 0 ? flow : null,
            FlowRelativeSd = 0.1,
            FloatLowLitres = floats > 1 ? start + (0.4 * (brim - start)) : null,
            FloatHighLitres = floats > 0 ? start + (0.8 * (brim - start)) : null,
            FloatSdLitres = 0.012 * brim,
            GainRatioRelativeSd = random.Next(2) == 0 ? 0.003 : 0.021,
            ToleranceMicrosiemensPerCm = Math.Abs(apart) * Between(0.2, 0.45),
            QuantisationMicrosiemensPerCm = marine ? 10 : random.Next(2) == 0 ? 1 : 0.1,
        };
        var setup = new PlainNight.Setup(prior, tank + apart, tank, flow)
        {
            NoiseFraction = Between(0.001, 0.01),
            PeriodSeconds = 5,
            HeadLoss = Between(0.02, 0.35),
        };
        return new PlainNight(setup, seed);
    }
}
