using Evenwater.Core;
using Evenwater.Core.Estimation;
using Evenwater.Nights.Scoring;

namespace Evenwater.Nights.Plant;

/// <summary>The troubles a night may have.</summary>
public static class Happenings
{
    public static NightPlan Surge(NightPlan plan, Chance chance) => Change(plan, Midway(plan, chance), chance.Between(2.5, 4.6), chance.LogBetween(10, 240));

    public static NightPlan SuddenClog(NightPlan plan, Chance chance) => Change(plan, Midway(plan, chance), chance.LogBetween(0.1, 0.4), chance.LogBetween(5, 120));

    /// <summary>It goes on closing until the morning.</summary>
    public static NightPlan SlowClog(NightPlan plan, Chance chance)
    {
        var from = chance.Happens(0.6) ? 0 : plan.AboutSeconds * chance.Between(0, 0.4);
        var perHour = -chance.Between(0.2, 0.55);
        var left = plan.Seconds - from;
        return (plan with { Inflow = plan.Inflow with { Changes = [.. plan.Inflow.Changes, new FlowChange(from, Math.Exp(perHour * left / 3600), left)] } })
            .Happening(new TrueEvent(Math.Round(from), "slow_clog", Factor: Math.Exp(perHour)));
    }

    /// <summary>A source that sinks with nothing to top it up, close above the vessel.</summary>
    public static NightPlan FallingHead(NightPlan plan, Chance chance) =>
        plan with { Inflow = plan.Inflow with { HeadLoss = chance.Between(0.5, 0.95), LaminarShare = chance.Between(0, 1) } };

    public static NightPlan PowerGap(NightPlan plan, Chance chance)
    {
        var from = Midway(plan, chance);
        return (plan with { Gaps = [new Gap(from, from + chance.LogBetween(300, 3600))] }).Happening(new TrueEvent(from, "power_gap"));
    }

    public static NightPlan SwappedProbes(NightPlan plan, Chance chance)
    {
        var from = chance.Happens(0.7) ? 0 : Midway(plan, chance);
        return (plan with { SwappedFromSeconds = from }).Happening(new TrueEvent(from, "swapped"));
    }

    /// <summary>A water change or a top-up: all at once or over an hour, and the new water has its own temperature.</summary>
    public static NightPlan TankChange(NightPlan plan, Chance chance)
    {
        var at = Midway(plan, chance);
        var factor = 1 + (chance.Sign() * chance.LogBetween(0.02, 0.3));
        var over = chance.Happens(0.4) ? chance.Between(10, 60) : chance.LogBetween(120, 3600);
        var celsius = Math.Abs(factor - 1) * chance.Between(-15, 8);
        return (plan with { TankChanges = [new TankChange(at, factor, celsius, over)] }).Happening(new TrueEvent(at, "tank_change", Factor: factor));
    }

    public static NightPlan ProbeTrouble(NightPlan plan, Chance chance)
    {
        var vessel = chance.Happens(0.7);
        var fault = chance.OneOf(ProbeFault.Stuck, ProbeFault.Open, ProbeFault.Burst, ProbeFault.Drift, ProbeFault.Dry);
        var from = Midway(plan, chance);
        var lasting = fault == ProbeFault.Burst || chance.Happens(0.25) ? chance.LogBetween(600, 3600) : double.PositiveInfinity;
        var size = fault == ProbeFault.Drift ? chance.Sign() * chance.LogBetween(0.02, 0.15) : chance.LogBetween(0.15, 0.6);
        var trouble = new ProbeTrouble(fault, from, fault == ProbeFault.Drift ? double.PositiveInfinity : from + lasting, size);
        var kind = fault switch
        {
            ProbeFault.Stuck => "probe_stuck", ProbeFault.Open => "probe_open", ProbeFault.Burst => "probe_burst",
            ProbeFault.Drift => "probe_drift", _ => "probe_dry",
        };
        return (vessel
                ? plan with { VesselProbe = plan.VesselProbe with { Trouble = trouble } }
                : plan with { TankProbe = plan.TankProbe! with { Trouble = trouble } })
            .Happening(new TrueEvent(from, kind, vessel ? "b" : "t"));
    }

    /// <summary>Air bubbles come to sit on the vessel's probe and go again: it reads some per cent too little for minutes to more than an hour.</summary>
    public static NightPlan Bubbles(NightPlan plan, Chance chance)
    {
        var shifts = Enumerable.Range(0, chance.Whole(1, 6)).Select(_ =>
        {
            var from = Math.Round(plan.AboutSeconds * chance.Between(0.02, 0.9), 1);
            return new ProbeShift(from, from + chance.LogBetween(120, 5400), -chance.LogBetween(0.005, 0.2));
        }).OrderBy(s => s.FromSeconds).ToArray();
        return (plan with { VesselProbe = plan.VesselProbe with { Shifts = shifts } })
            .Happening([.. shifts.Select(s => new TrueEvent(s.FromSeconds, "probe_bubble", "b", Math.Round(Math.Exp(s.Ln), 4)))]);
    }

    /// <summary>Somebody hangs the vessel's probe elsewhere, or wipes it, and it reads otherwise from then on.</summary>
    public static NightPlan MovedProbe(NightPlan plan, Chance chance)
    {
        var shift = new ProbeShift(Midway(plan, chance), double.PositiveInfinity, chance.Sign() * chance.LogBetween(0.005, 0.06));
        return (plan with { VesselProbe = plan.VesselProbe with { Shifts = [shift] } })
            .Happening(new TrueEvent(shift.FromSeconds, "probe_moved", "b", Math.Round(Math.Exp(shift.Ln), 4)));
    }

    /// <summary>Both probes are disturbed by something that switches: single readings leap, the first of all not excepted.</summary>
    public static NightPlan Spikes(NightPlan plan, Chance chance)
    {
        var share = chance.LogBetween(0.003, 0.05);
        return plan with { VesselProbe = plan.VesselProbe with { SpikeShare = share }, TankProbe = plan.TankProbe! with { SpikeShare = share } };
    }

    /// <summary>A row only every 15 s to a minute.</summary>
    public static NightPlan SlowRows(NightPlan plan, Chance chance) => plan with { PeriodSeconds = 5, StepsPerRow = chance.OneOf(3, 6, 12) };

    /// <summary>Part of the drip passes the closed valve, and there is at least one planned closing to see it in.</summary>
    public static NightPlan LeakingValve(NightPlan plan, Chance chance)
    {
        plan = plan.Prior.ValveCommands.Count > 0 ? plan : Parts.Paused(plan, chance);
        var share = chance.Between(0.1, 0.3);
        var closings = plan.Prior.ValveCommands.Where(c => !c.Open).Select(c => c.AtSeconds).ToArray();
        var from = closings[chance.Happens(0.8) ? 0 : closings.Length - 1];
        return (plan with { Inflow = plan.Inflow with { LeakShare = share, LeakFromSeconds = from } }).Happening(new TrueEvent(from, "leak", Factor: share));
    }

    /// <summary>One float hangs: the low one dry, the high one dry, or the high one wet long before its time.</summary>
    public static NightPlan FloatStuck(NightPlan plan, Chance chance)
    {
        if (plan.Prior.FloatHighLitres is null || plan.Prior.FloatLowLitres is null)
        {
            var brim = plan.Prior.BrimLitres;
            plan = plan with
            {
                Prior = plan.Prior with
                {
                    FloatLowLitres = plan.Prior.StartVolumeLitres + (chance.Between(0.2, 0.5) * (brim - plan.Prior.StartVolumeLitres)),
                    FloatHighLitres = brim * chance.Between(0.74, 0.88),
                },
            };
            plan = Parts.Fit(plan, chance, plan.Prior.GainRatioRelativeSd, plan.Prior.FloatSdLitres, plan.Prior.VesselAreaSquareMetres!.Value);
        }

        var (channel, wet) = chance.OneOf((Channel.FloatLow, false), (Channel.FloatHigh, true), (Channel.FloatHigh, true), (Channel.FloatHigh, false));
        var from = wet ? Midway(plan, chance) : 0;
        var trouble = new FloatTrouble(wet, from);
        return (channel == Channel.FloatLow
                ? plan with { FloatLow = plan.FloatLow! with { Trouble = trouble } }
                : plan with { FloatHigh = plan.FloatHigh! with { Trouble = trouble } })
            .Happening(new TrueEvent(from, channel == Channel.FloatLow ? "float_low_stuck_dry" : wet ? "float_high_stuck_wet" : "float_high_stuck_dry"));
    }

    /// <summary>Never one, or one that is taken out after a while.</summary>
    public static NightPlan NoTankProbe(NightPlan plan, Chance chance)
    {
        var never = chance.Happens(0.5);
        var until = chance.LogBetween(120, 1800);
        var prior = plan.Prior with { TankMicrosiemensPerCm = plan.TankMicrosiemens * Math.Exp(0.02 * chance.Gauss()), TankRelativeSd = 0.02 };
        return never ? plan with { Prior = prior, TankProbe = null }
            : (plan with { Prior = prior, TankProbe = plan.TankProbe! with { RemovedFromSeconds = until } }).Happening(new TrueEvent(Math.Round(until, 1), "probe_missing", "t"));
    }

    /// <summary>When it is nearly full, part is thrown away, once to three times; the match comes after the last.</summary>
    public static NightPlan DrawOffs(NightPlan plan, Chance chance)
    {
        var full = plan.MarkLitres * chance.Between(0.75, 0.9);
        var left = full * chance.Between(0.42, 0.65);
        var times = chance.Whole(1, 3);
        var volume = (full - plan.StartLitres) + (times * (full - left));
        var flow = Math.Clamp(volume * 1000 / 60 / chance.LogBetween(3.5, 11), 6, 60);
        var last = plan.StartLitres / full * Math.Pow(left / full, times - 1);
        var sd = chance.Between(0.02, 0.07);
        var draws = new List<DrawOff>();
        for (var i = 0; i < times; i++)
        {
            var litres = full - plan.StartLitres + (i * (full - left));
            draws.Add(new DrawOff(Math.Round(1.08 * litres * 60_000 / flow), Math.Round(full - left, 2), sd));
        }

        var prior = plan.Prior with
        {
            ToleranceMicrosiemensPerCm = plan.Apart * last * chance.Between(1.1 * left / full, 0.95),
            FlowMillilitresPerMinute = plan.Prior.FlowMillilitresPerMinute is null ? null : flow * Math.Exp(0.1 * chance.Gauss()),
            DrawOffs = draws,
            ValveCommands = [],
        };
        return (plan with
        {
            Prior = prior,
            Inflow = plan.Inflow with { MillilitresPerMinute = flow },
            DrawnFactors = [.. draws.Select(_ => Math.Exp(sd * chance.Gauss()))],
        }).Happening([.. draws.Select(d => new TrueEvent(d.AtSeconds, "discard"))]);
    }

    /// <summary>A moment between a fifth and six tenths of the way.</summary>
    private static double Midway(NightPlan plan, Chance chance) => Math.Round(plan.AboutSeconds * chance.Between(0.2, 0.6), 1);

    private static NightPlan Change(NightPlan plan, double at, double factor, double over) =>
        (plan with { Inflow = plan.Inflow with { Changes = [.. plan.Inflow.Changes, new FlowChange(at, factor, over)] } })
            .Happening(new TrueEvent(at, "flow_jump", Factor: Math.Round(factor, 4)));
}
