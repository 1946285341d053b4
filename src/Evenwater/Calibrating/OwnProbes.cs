using Evenwater.Core;
using Evenwater.Core.Stations;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;
using Evenwater.Running;

namespace Evenwater.Calibrating;

/// <summary>The probes read by this program itself while no daemon runs: a board's once a second, a simulated rig's as fast as may be. The valve's line is held low.</summary>
internal sealed class OwnProbes : ILiveProbes
{
    private const double SecondsBetween = 1;

    private readonly StationDevices _devices;
    private readonly SimulatedRig? _rig;
    private readonly SimulatedHands? _hands;
    private readonly StationClock _clock = StationClock.Real(default, TimeProvider.System);
    private RawSamples _latest = RawSamples.None();
    private double _simulatedSeconds;
    private long _drops;

    private OwnProbes(StationDevices devices, SimulatedRig? rig)
    {
        (_devices, _rig, _hands) = (devices, rig, rig is null ? null : new SimulatedHands(rig));
        rig?.Advance(default);
    }

    /// <summary>Opens them. The state lock must be held.</summary>
    public static OwnProbes Open(Station station) => station.Sensors.Source == SensorSource.Board
        ? new OwnProbes(StationDevices.OnBoard(station.Sensors), null)
        : On(station, new SimulatedRig(station, 1, []));

    /// <summary>Those of a rig.</summary>
    public static OwnProbes On(Station station, SimulatedRig rig) => new(StationDevices.OnRig(station.Sensors, rig), rig);

    public async Task<LiveLook?> LookAsync()
    {
        if (_rig is null)
        {
            await Task.Delay(TimeSpan.FromSeconds(SecondsBetween));
        }

        _simulatedSeconds += SecondsBetween;
        var now = _rig is null ? _clock.Now : MonotonicTime.FromSeconds(_simulatedSeconds);
        _rig?.Advance(now);
        _devices.ReadProbes(now, ref _latest);
        _drops += _devices.TakeDrops(now).Code;
        return new LiveLook(_latest, _drops, Running: false);
    }

    public Task<string?> DoAsync(string what) => Task.FromResult(_hands?.Do(what));

    public void Dispose() => _devices.Dispose();
}
