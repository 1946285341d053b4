using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;
using Evenwater.Log;

namespace Evenwater.Running;

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
        var witness = new Witness(RunPrior.Tolerance(station, simulated.Loop.State.Readings));
        var verdict = witness.Verdict;
        var cuts = new Queue<double>(faults.Where(f => f.Kind == FaultKind.PowerCut).Select(f => f.AtSeconds).Order());
        var keeper = new RehearsalKeeper(simulated, station, verdict);
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
                simulated.CutPower(RigFault.PowerCutSeconds, log);
                verdict.Story.Add((cut + RigFault.PowerCutSeconds, $"the power is back; by the log the run is {Words.Of(simulated.Loop.State.Phase)}"));
            }

            var turned = simulated.Step();
            var loop = simulated.Loop;
            var at = simulated.Now.SecondsSince(start);
            witness.See(simulated.Rig, at);
            if (watch?.Invoke(simulated) == true)
            {
                break;
            }

            if (!turned)
            {
                continue;
            }

            keeper.Step(at);
            witness.Follow(loop, simulated.Rig, at);
            seen?.Invoke(loop, clock, simulated.Now);
            if (loop.Effects.Has(EffectKind.Evaluated))
            {
                evaluated?.Invoke(loop.State, simulated.Now, loop.State.HoldsOpen);
            }
        }

        verdict.End = simulated.Loop.State.Phase;
        verdict.OpenSeconds = simulated.Loop.State.OpenSeconds;
        verdict.SpilledLitres = simulated.Rig.SpilledLitres;
        if (!keeper.HasBegun)
        {
            verdict.Story.Add((hours * 3600, "never opened: a probe gave no good reading"));
        }

        log?.Flush();
        progress?.Invoke(1);
        return verdict;
    }
}
