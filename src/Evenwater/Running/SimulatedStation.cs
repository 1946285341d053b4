using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>
/// A station on the simulated rig, driven step by step by one thread in a fixed order, so that the same seed gives the
/// same night. The drivers are the very ones a board uses; only bus, pins and 1-wire are simulated.
/// </summary>
internal sealed class SimulatedStation : IDisposable
{
    /// <summary>Step of the switches and the valve's pulses, s of the station. At life speed both go at 20 Hz.</summary>
    public const double StepSeconds = 0.5;

    private readonly Mishaps _mishaps;
    private readonly Recorder _recorder;
    private readonly StationClock _clock;
    private StationDevices _devices;
    private RawSamples _probes = RawSamples.None();
    private MonotonicTime _nextProbes;

    public SimulatedStation(
        Station station, ulong seed, IReadOnlyList<RigFault> faults, Recorder recorder, StationClock clock, MonotonicTime start, Station? truth,
        Layers layers = Layers.Usual, bool calm = false, ulong? probesOf = null)
    {
        Rig = new SimulatedRig(truth ?? station, seed, faults, layers, calm, probesOf);
        (_mishaps, _recorder, _clock) = (new Mishaps(faults, start), recorder, clock);
        Rig.Advance(start);
        _devices = StationDevices.OnRig(station.Sensors, Rig);
        Loop = Started(new StationState(station), seed, new RunEvents());
        Now = start;
        _nextProbes = start;
    }

    public SimulatedRig Rig { get; }

    public StationLoop Loop { get; private set; }

    public MonotonicTime Now { get; private set; }

    /// <summary>What was opened.</summary>
    public string Description => _devices.Description;

    /// <summary>Goes one step; true when a cycle ran.</summary>
    public bool Step()
    {
        Now = Now.Plus(StepSeconds);
        Rig.Advance(Now);
        _mishaps.Step(Loop, Now);
        _recorder.DiskIsGone = _mishaps.LogLost;
        if (_mishaps.ProcessStops)
        {
            // Once it holds the valve it stops at the worst moment: between two pulses, the line high.
            _devices.Valve.StandStill(Now.Plus(1), Now);
            return false;
        }

        if (Now >= _nextProbes && !_mishaps.ProbesHang)
        {
            _devices.ReadProbes(Now, ref _probes);
            Loop.Take(_probes);
            _nextProbes = Now.Plus(StationLoop.CycleSeconds);
        }

        var turned = !_mishaps.CycleHangs && Loop.Poll(Now);
        if (turned)
        {
            Scoop();
        }

        _devices.Valve.Pulse(Now);
        return turned;
    }

    /// <summary>
    /// The power goes and comes back: the coil drops, all memory is lost, the water is not. What the program then knows of the run is
    /// what its log says, as after any start; the time it was away is the rig's.
    /// </summary>
    public void CutPower(double seconds, NightLog log)
    {
        var (station, seed) = (Loop.State.Station, Loop.Seed);
        _devices.Dispose();
        Now = Now.Plus(seconds);
        Rig.Advance(Now);
        var restart = Restart.Of(log, station, new WallOf(_clock.WallAt(Now) ?? default));
        _devices = StationDevices.OnRig(station.Sensors, Rig);
        _probes = RawSamples.None();
        _nextProbes = Now;
        Loop = Started(restart.State, seed, restart.Past.Events);
        if (restart.WasOpen)
        {
            _ = Loop.Ask(new Asking(Verb.Restarted, "start"));
        }
    }

    private StationLoop Started(StationState state, ulong seed, RunEvents events) =>
        new(state, _devices, _recorder, _clock) { Seed = seed, Events = events, Hands = new SimulatedHands(Rig), Hand = Rig.HoldWet, HandAtCoil = Rig.CutCoil };

    /// <summary>What the keeper of this simulated station knows beyond the station file when a run begins.</summary>
    public StartKnown? Keeper => Loop.State.Station.Sensors.TankConductivity is null
        ? new StartKnown(TankMicrosiemensPerCm: Rig.TankByHand(), Attended: true)
        : null;

    /// <summary>What a person says was drawn off is drawn off here, but for that person's own error.</summary>
    private void Scoop()
    {
        foreach (ref readonly var effect in Loop.Effects)
        {
            if (effect.Kind == EffectKind.DrawnOff && !_mishaps.Claimed)
            {
                Rig.DrawOff(effect.Drawn.Litres, effect.Drawn.RelativeSd);
            }
        }
    }

    public void Dispose() => _devices.Dispose();

    /// <summary>The simulated clock on the wall when the power is back.</summary>
    private sealed class WallOf(DateTimeOffset at) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => at;
    }
}
