using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Core.Scoring;

namespace Evenwater.Nights.Scoring;

/// <summary>
/// What a careful keeper works out on paper every few minutes: start volume as guessed, flow as timed (or, when it was not, from how
/// far the conductivity has come by the dilution formula V = V0 (C0 - Ct)/(C - Ct)), the valve's plan, straight lines from there,
/// and the same give or take every time.
/// </summary>
public static class HandCalculation
{
    /// <summary>The give or take a keeper may choose from; the judges pick the one that suits the nights at hand best.</summary>
    public static readonly double[] Spreads = [0.1, 0.2, 0.3, 0.4, 0.6, 0.8, 1.0, 1.3];

    private const double EverySeconds = 300;

    /// <summary>A keeper whose give or take is <paramref name="spread"/> (1-sigma of ln time).</summary>
    public static Forecaster WithSpread(double spread) => night => Forecast(night, spread);

    private static List<Call> Forecast(Night night, double spread)
    {
        var calls = new List<Call>();
        var vessel = new Smooth();
        var tank = new Smooth();
        double? first = null;
        var openSeconds = 0.0;
        var lastSeconds = night.Rows[0].Seconds;
        var open = true;
        var next = EverySeconds;
        foreach (var row in night.Rows)
        {
            openSeconds += open ? row.Seconds - lastSeconds : 0;
            lastSeconds = row.Seconds;
            open = row.ValveOpen;
            vessel.Take(row.Readings[Channel.VesselConductivity]);
            tank.Take(row.Readings[Channel.TankConductivity]);
            if (row.Seconds < next || vessel.Value is not { } c || tank.Value is not { } ct)
            {
                continue;
            }

            next = row.Seconds + EverySeconds;
            first ??= c;
            calls.Add(Work(night.Prior, row.Seconds, openSeconds, first.Value, c, ct, spread));
        }

        return calls;
    }

    private static Call Work(Prior prior, double seconds, double openSeconds, double c0, double c, double ct, double spread)
    {
        var start = prior.StartVolumeLitres;
        var ceiling = prior.StandpipeLitres ?? double.PositiveInfinity;
        var ratio = Math.Clamp((c0 - ct) / (c - ct), 1.001, 50);
        var minutes = Math.Max(openSeconds / 60, 1);
        var flow = prior.FlowMillilitresPerMinute / 1000 ?? start * (ratio - 1) / minutes;
        var volume = Math.Min(prior.FlowMillilitresPerMinute is null ? start * ratio : start + (flow * minutes), ceiling);

        var apart = Math.Abs(c - ct);
        var needed = volume * ((apart / prior.ToleranceMicrosiemensPerCm) - 1);
        if (volume + needed > ceiling)
        {
            var full = Math.Max(apart * volume / ceiling / prior.ToleranceMicrosiemensPerCm, 1);
            needed = ceiling - volume + (ceiling * Math.Log(full));
        }

        var toMark = prior.BrimLitres - prior.FreeboardLitres - volume;
        var plan = new ValvePlan(prior.ValveCommands);
        return new Call(
            seconds,
            Around(When(plan, seconds, needed / flow * 60), spread),
            ceiling < prior.BrimLitres ? Quantiles.Never : Around(When(plan, seconds, toMark / flow * 60), spread));
    }

    /// <summary>Seconds until so many open seconds have passed.</summary>
    private static double When(ValvePlan plan, double now, double openSeconds)
    {
        var t = now;
        while (openSeconds > 0)
        {
            var next = plan.NextChangeAfter(t);
            if (plan.IsOpenAt(t))
            {
                if (next - t >= openSeconds)
                {
                    return t + openSeconds - now;
                }

                openSeconds -= next - t;
            }

            if (double.IsInfinity(next))
            {
                return double.PositiveInfinity;
            }

            t = next;
        }

        return Math.Max(t - now, 0);
    }

    private static Quantiles Around(double seconds, double spread) => new(
        seconds * Math.Exp(-1.645 * spread),
        seconds * Math.Exp(-0.674 * spread),
        seconds,
        seconds * Math.Exp(0.674 * spread),
        seconds * Math.Exp(1.645 * spread));

    /// <summary>The keeper watches the display for a while and takes the middle: an average over about two minutes.</summary>
    private sealed class Smooth
    {
        private double _weight;
        private double _sum;

        public double? Value => _weight > 0 ? _sum / _weight : null;

        public void Take(Reading reading)
        {
            if (reading.TryGet(out var value))
            {
                _sum = (_sum * 0.96) + value;
                _weight = (_weight * 0.96) + 1;
            }
        }
    }
}
