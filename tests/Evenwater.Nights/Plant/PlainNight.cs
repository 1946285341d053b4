using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Hardware.Trace;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.Plant;

/// <summary>
/// Makes a night from another picture of a vessel than the estimator has: two zones with exchange between them, a head that falls
/// with the level, flow that wanders around it, a probe in the main zone, float positions off their marks. Not for tuning.
/// </summary>
public sealed class PlainNight(PlainNight.Setup setup, int seed)
{
    private const double DeadFraction = 0.12;
    private const double DeadExchangeSeconds = 500;
    private const double ProbeLagSeconds = 25;
    private readonly Random _random = new(seed);

    /// <summary>What the night is made of; every "Sd" is how far the truth lies from what the keeper knows.</summary>
    public sealed record Setup(Prior Prior, double VesselMicrosiemens, double TankMicrosiemens, double FlowMillilitresPerMinute)
    {
        public double Seconds { get; init; } = 12 * 3600;

        public double PeriodSeconds { get; init; } = 2;

        public double NoiseFraction { get; init; } = 0.006;

        /// <summary>Share of the flow lost as the vessel fills to its brim.</summary>
        public double HeadLoss { get; init; } = 0.2;

        public double EvaporationMillilitresPerHour { get; init; } = 4.5;
    }

    public Night Make()
    {
        var p = setup.Prior;
        var volume = p.StartVolumeLitres * Math.Exp(p.StartVolumeRelativeSd * Gauss());
        var brim = p.BrimLitres * (1 + (p.BrimRelativeSd * Gauss()));
        var flow0 = setup.FlowMillilitresPerMinute * (p.FlowMillilitresPerMinute is null ? 1 : Math.Exp(p.FlowRelativeSd * Gauss()));
        var vesselGain = 1 + (p.GainRatioRelativeSd / Math.Sqrt(2) * Gauss());
        var tankGain = 1 + (p.GainRatioRelativeSd / Math.Sqrt(2) * Gauss());
        var low = p.FloatLowLitres + (p.FloatSdLitres * Gauss());
        var high = p.FloatHighLitres + (p.FloatSdLitres * Gauss());
        var start = volume;
        var main = setup.VesselMicrosiemens;
        var dead = main;
        var felt = main;
        var tank = setup.TankMicrosiemens;
        var wander = 0.0;
        var rows = new List<TraceRow>();
        double? match = null;
        double? mark = null;
        var dt = setup.PeriodSeconds;
        for (var t = 0.0; t <= setup.Seconds; t += dt)
        {
            var mean = ((1 - DeadFraction) * main) + (DeadFraction * dead);
            match ??= Math.Abs(mean - tank) <= p.ToleranceMicrosiemensPerCm ? t : null;
            mark ??= volume >= brim - p.FreeboardLitres ? t : null;
            rows.Add(new TraceRow(t, Read(t, felt * vesselGain * (1 + (0.0012 * wander)), tank * tankGain, volume, low, high), true));
            wander += (-wander * dt / 1200) + (Math.Sqrt(2 * dt / 1200) * Gauss());

            var flow = flow0 * (1 - (setup.HeadLoss * (volume - start) / (brim - start))) * (1 + (0.03 * Math.Sin(t / 1700)));
            var added = flow * dt / 60_000;
            var mainLitres = (1 - DeadFraction) * volume;
            main += ((tank - main) * added / mainLitres) + ((dead - main) * DeadFraction / (1 - DeadFraction) * dt / DeadExchangeSeconds);
            dead += (main - dead) * dt / DeadExchangeSeconds;
            var lost = setup.EvaporationMillilitresPerHour * dt / 3.6e6;
            main *= 1 + (lost / volume);
            dead *= 1 + (lost / volume);
            volume = Math.Min(volume + added - lost, brim);
            felt += (main - felt) * (1 - Math.Exp(-dt / ProbeLagSeconds));
        }

        return new Night($"plain-{seed}", "own plain", p, rows, match, mark);
    }

    private Readings Read(double t, double vessel, double tank, double volume, double? low, double? high)
    {
        var at = MonotonicTime.FromSeconds(t);
        var step = setup.Prior.QuantisationMicrosiemensPerCm;
        var readings = Readings.None();
        readings[Channel.VesselConductivity] = Reading.Of(Noisy(vessel, step), at);
        readings[Channel.TankConductivity] = Reading.Of(Noisy(tank, step), at);
        if (low is { } l)
        {
            readings[Channel.FloatLow] = Reading.Of(volume + (0.02 * Gauss()) > l ? 1 : 0, at);
        }

        if (high is { } h)
        {
            readings[Channel.FloatHigh] = Reading.Of(volume + (0.02 * Gauss()) > h ? 1 : 0, at);
        }

        return readings;
    }

    private double Noisy(double value, double step) => Math.Round(value * (1 + (setup.NoiseFraction * Gauss())) / step) * step;

    private double Gauss() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());
}
