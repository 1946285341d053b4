using System.Device.Gpio;
using Evenwater.Commands;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;

namespace Evenwater.Tests.Running;

/// <summary>
/// A station's loop on a rig that outlives it: the loop can be dropped as a killed process drops it, and another made on the same water.
/// Steps as a live station does, but in one thread and in the rig's time.
/// </summary>
internal sealed class RigDrive : IDisposable
{
    private const double StepSeconds = 0.1;

    private readonly LateDevices _devices;
    private RawSamples _probes = RawSamples.None();
    private MonotonicTime _nextProbes;

    public RigDrive(SimulatedRig rig, StationState state, NightLog log, MonotonicTime now, DateTimeOffset wall, bool hands = false, StationClock? real = null, GpioDriver? pins = null, LateDevices? late = null)
    {
        (Rig, Now, Log) = (rig, now, log);
        _devices = late ?? (pins is null ? StationDevices.OnRig(state.Station.Sensors, rig) : StationDevices.OnRig(state.Station.Sensors, rig, pins));
        var clock = real ?? StationClock.Faster(1, wall, now);
        var recorder = new Recorder(
            log, new RunNumbers(log.Reader.HighestRun()), clock, state.Station.Name, log.StartBoot("test", simulated: true), log.Configure(state.Station));
        Loop = new StationLoop(state, _devices, recorder, clock) { Hands = hands ? new SimulatedHands(rig) : null, Hand = hands ? rig.HoldWet : null, HandAtCoil = hands ? rig.CutCoil : null };
    }

    /// <summary>The demo's station on a first night.</summary>
    public static RigDrive River(NightLog log, string name = "sim-river")
    {
        var station = DemoStation.Read() with { Name = name };
        return new RigDrive(new SimulatedRig(station, 1, []), new StationState(station), log, MonotonicTime.FromSeconds(1), LogFolder.Evening);
    }

    public SimulatedRig Rig { get; }

    public NightLog Log { get; }

    public StationLoop Loop { get; }

    public MonotonicTime Now { get; private set; }

    /// <summary>What the probes' thread has read last.</summary>
    public RawSamples Probes => _probes;

    /// <summary>Whether the probes' thread still turns.</summary>
    public bool ProbesAlive { get; set; } = true;

    /// <summary>Whether the coil was seen open since this drive began.</summary>
    public bool EverOpen { get; private set; }

    /// <summary>Goes on for so long, or until it is so; false when it never was.</summary>
    public bool Go(double seconds, Func<bool>? until = null)
    {
        for (var end = Now.Plus(seconds); Now < end;)
        {
            Now = Now.Plus(StepSeconds);
            Rig.Advance(Now);
            if (ProbesAlive && Now >= _nextProbes)
            {
                _devices.ReadProbes(Now, ref _probes);
                _nextProbes = Now.Plus(StationLoop.CycleSeconds);
            }

            Loop.Take(_probes);
            Loop.Poll(Now);
            _devices.Valve?.Pulse(Now);
            EverOpen |= Rig.ValveOpen;
            if (until?.Invoke() == true)
            {
                return true;
            }
        }

        return until is null;
    }

    /// <summary>Begins a run and waits for the valve to open.</summary>
    public void Begin()
    {
        Go(3);
        var begun = Loop.Ask(new Asking(Verb.Begin, "test"));
        Assert.True(Go(30, () => CommitAnd(Loop.State.Phase == Phase.Dripping)));
        Assert.True(begun.Result.Obeyed);
        Assert.True(Go(3, () => Rig.ValveOpen));
    }

    /// <summary>Its proof test is done, so that a run may be left alone.</summary>
    public void ProofTested(DateTimeOffset at) =>
        Loop.Proof.Last = new ProofRecord(at, "Ann", [.. ProofParts.Fitted(Loop.State.Station.Sensors).Select(part => new ProofResult(part, Seen: true, Passed: true))]);

    /// <summary>Simulated time outruns the disk; here it waits for it.</summary>
    public bool CommitAnd(bool done)
    {
        Log.Flush();
        return done;
    }

    public void Dispose() => _devices.Dispose();
}
