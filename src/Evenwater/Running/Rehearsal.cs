using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>What one rehearsed night came to. Instants are s from the start.</summary>
internal sealed record Verdict
{
    public Phase End { get; set; }

    public Trip Trip { get; set; }

    public double? OpenedAt { get; set; }

    public double? ClosedAt { get; set; }

    public double? TrueMatchAt { get; set; }

    public double LitresAtClose { get; set; }

    public double LitresMost { get; set; }

    public double SpilledLitres { get; set; }

    /// <summary>What the last run's time budget counted, s.</summary>
    public double OpenSeconds { get; set; }

    public double VesselAtClose { get; set; }

    public double TankAtClose { get; set; }

    public bool ClosedByPlan { get; set; }

    public List<(double At, string What)> Story { get; } = [];

    /// <summary>Every call to a person.</summary>
    public List<(double At, AlarmId Alarm)> Alarms { get; } = [];

    public bool TrulyEvenAtClose { get; set; }

    /// <summary>How much of the vessel's water is still the first, a share.</summary>
    public double FirstShare { get; set; } = 1;

    /// <summary>How much was truly replaced when it closed, a share; null where the waters' conductivity tells when they are even.</summary>
    public double? ReplacedAtClose { get; set; }

    /// <summary>What had run into the vessel at the last look, L.</summary>
    public double InflowLitres { get; set; }

    /// <summary>Whether it found the waters even that were not nearly: further apart than half as much again as counts.</summary>
    public bool FarFromEven { get; set; }

    /// <summary>Whether the night went as planned: closed because it found the waters even, which were so at least nearly, and nothing spilled. What was true is told beside it.</summary>
    public bool Good => ClosedByPlan && SpilledLitres == 0 && !FarFromEven;
}

/// <summary>A whole night against the simulated plant, as fast as it goes.</summary>
internal static class Rehearsal
{
    /// <summary>The simulated night begins at eight in the evening.</summary>
    private static readonly DateTimeOffset Evening = new(2026, 1, 10, 20, 0, 0, TimeSpan.Zero);

    /// <summary>Sees each new forecast.</summary>
    public delegate void Evaluated(StationState state, MonotonicTime now, bool valveOpen);

    /// <summary>Runs it.</summary>
    /// <param name="station">A simulated station.</param>
    /// <param name="seed">Chooses the night.</param>
    /// <param name="faults">What goes wrong.</param>
    /// <param name="hours">How long the night is.</param>
    /// <param name="log">Keeps it, or null.</param>
    /// <param name="evaluated">Sees the forecasts.</param>
    /// <param name="progress">Told the fraction done, 0 to 1.</param>
    /// <param name="seen">Sees the station after each cycle, with s from the start; for a picture.</param>
    /// <param name="watch">Sees every step; true ends the night.</param>
    /// <param name="truth">What the rig is made from, when the station file is mistaken about it.</param>
    /// <param name="layers">What stands between the water and the floor.</param>
    /// <param name="calm">Whether the rig is as its station expects, to the letter, so that the night can be held against a plan.</param>
    public static Verdict Run(
        Station station, ulong seed, IReadOnlyList<RigFault> faults, double hours, NightLog? log,
        Evaluated? evaluated = null, Action<double>? progress = null, Action<StationLoop, StationClock, MonotonicTime>? seen = null,
        Func<SimulatedStation, bool>? watch = null, Station? truth = null, Layers layers = Layers.Usual, bool calm = false)
    {
        if (log is null && faults.Any(f => f.Kind == FaultKind.PowerCut))
        {
            // What the program knows after a power cut is what its log says: it must have one.
            var folder = Directory.CreateTempSubdirectory("evenwater-rehearsal").FullName;
            try
            {
                using var own = NightLog.Open(folder);
                return Run(station, seed, faults, hours, own, evaluated, progress, seen, watch, truth, layers, calm);
            }
            finally
            {
                Directory.Delete(folder, recursive: true);
            }
        }

        var start = MonotonicTime.FromSeconds(1);
        var end = start.Plus(hours * 3600);
        var clock = StationClock.Faster(1, Evening, start);
        var recorder = new Recorder(
            log, new RunNumbers(log?.Reader.HighestRun() ?? 0), clock, station.Name, log?.StartBoot("rehearsal", simulated: true) ?? 0, log?.Configure(station) ?? 0);
        using var simulated = new SimulatedStation(station, seed, faults, recorder, clock, start, truth, layers, calm);
        var verdict = new Verdict();
        var cuts = new Queue<double>(faults.Where(f => f.Kind == FaultKind.PowerCut).Select(f => f.AtSeconds).Order());
        Task<Answer>? begin = null;
        var tolerance = RunPrior.Tolerance(station, simulated.Loop.State.Readings);
        var (before, drawn) = (Phase.Idle, 0);
        for (long i = 0; simulated.Now < end; i++)
        {
            // Simulated time outruns the disk; a rehearsal may wait for it, so that nothing is dropped and no opening given up.
            if (i % 1200 == 0 || simulated.Loop.State.Phase == Phase.Armed)
            {
                log?.Flush();
                progress?.Invoke(simulated.Now.SecondsSince(start) / (hours * 3600));
            }

            if (cuts.TryPeek(out var cut) && simulated.Now.SecondsSince(start) >= cut)
            {
                cuts.Dequeue();
                log!.Flush();
                verdict.Story.Add((cut, "the power is cut"));
                simulated.CutPower(RigFault.PowerCutSeconds, log, recorder, clock);
                verdict.Story.Add((cut + RigFault.PowerCutSeconds, $"the power is back; by the log the run is {Words.Of(simulated.Loop.State.Phase)}"));
            }

            var turned = simulated.Step();
            var loop = simulated.Loop;
            var at = simulated.Now.SecondsSince(start);
            Watch(verdict, simulated.Rig, tolerance, at);
            if (watch?.Invoke(simulated) == true)
            {
                break;
            }

            if (!turned)
            {
                continue;
            }

            if (begin is null && TripCause.IsFresh(loop.State.Readings))
            {
                begin = loop.Ask(new Asking(Verb.Begin, "rehearsal", simulated.Keeper));
                if (begin is { IsCompletedSuccessfully: true, Result: { Obeyed: false, Text: var why } })
                {
                    verdict.Story.Add((at, why));
                }
            }

            if (drawn < station.DrawOffs.Count && station.DrawOffs[drawn] is var planned
                && loop.State.Run is not null && simulated.Now.SecondsSince(loop.State.StartedAt) >= planned.AtSeconds)
            {
                drawn++;
                _ = loop.Ask(new Asking(Verb.Drawn, "rehearsal", drawn: new Drawn(planned.Litres, planned.RelativeSd)));
            }

            Follow(verdict, loop, simulated.Rig, tolerance, ref before, at);
            seen?.Invoke(loop, clock, simulated.Now);
            for (var e = 0; e < loop.Effects.Count; e++)
            {
                if (loop.Effects[e].Kind == EffectKind.Evaluated)
                {
                    evaluated?.Invoke(loop.State, simulated.Now, loop.State.HoldsOpen);
                }
            }
        }

        verdict.End = simulated.Loop.State.Phase;
        verdict.OpenSeconds = simulated.Loop.State.OpenSeconds;
        verdict.SpilledLitres = simulated.Rig.SpilledLitres;
        if (begin is null)
        {
            verdict.Story.Add((hours * 3600, "never opened: a probe gave no good reading"));
        }

        log?.Flush();
        progress?.Invoke(1);
        return verdict;
    }

    private static void Watch(Verdict verdict, SimulatedRig rig, double tolerance, double at)
    {
        verdict.LitresMost = Math.Max(verdict.LitresMost, rig.VolumeLitres);
        var inflow = rig.InflowLitres - rig.BesideLitres;
        verdict.FirstShare *= Math.Exp((verdict.InflowLitres - inflow) / rig.VolumeLitres);
        verdict.InflowLitres = inflow;
        if (verdict.TrueMatchAt is null && Math.Abs(rig.VesselEc25 - rig.TankEc25) <= tolerance)
        {
            verdict.TrueMatchAt = at;
        }
    }

    private static void Follow(Verdict verdict, StationLoop loop, SimulatedRig rig, double tolerance, ref Phase before, double at)
    {
        for (var i = 0; i < loop.Effects.Count; i++)
        {
            var effect = loop.Effects[i];
            switch (effect.Kind)
            {
                case EffectKind.AlarmChanged when effect.Calls:
                    verdict.Alarms.Add((at, effect.Alarm));
                    verdict.Story.Add((at, $"alarm: {AlarmTable.Of(effect.Alarm).Title}"));
                    break;
                case EffectKind.AlarmChanged:
                    verdict.Story.Add((at, $"{AlarmSentence.Word(effect.Standing)}: {AlarmTable.Of(effect.Alarm).Title}"));
                    break;
                case EffectKind.DrawnOff:
                    verdict.Story.Add((at, $"{effect.Drawn.Litres:0.0##} L are drawn off by hand"));
                    break;
                case EffectKind.Refused:
                    verdict.Story.Add((at, Answers.Explain(effect.Refusal, effect.Verb, loop.State.Station.Name)));
                    break;
                case EffectKind.PhaseChanged:
                    verdict.Story.Add((at, $"{Words.Of(effect.Phase)}: {Words.Why(effect.Phase, effect.Trip)}"));
                    break;
            }
        }

        var phase = loop.State.Phase;
        if (phase == Phase.Dripping && before != Phase.Dripping)
        {
            verdict.OpenedAt ??= at;
        }
        else if (before == Phase.Dripping && phase != Phase.Dripping)
        {
            verdict.ClosedAt = at;
            verdict.Trip = loop.State.Trip;
            verdict.ClosedByPlan = phase == Phase.Holding && loop.State.WasEven;
            verdict.TrulyEvenAtClose = Math.Abs(rig.VesselEc25 - rig.TankEc25) <= tolerance;
            verdict.FarFromEven = verdict.ClosedByPlan && Math.Abs(rig.VesselEc25 - rig.TankEc25) > 1.5 * tolerance;
            verdict.ReplacedAtClose = loop.State.Forecast.JudgedByReplacedFraction ? 1 - verdict.FirstShare : null;
            (verdict.LitresAtClose, verdict.VesselAtClose, verdict.TankAtClose) = (rig.VolumeLitres, rig.VesselEc25, rig.TankEc25);
        }

        before = phase;
    }
}
