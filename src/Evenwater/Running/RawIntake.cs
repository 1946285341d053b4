using Evenwater.Core;
using Evenwater.Core.Safety;

namespace Evenwater.Running;

/// <summary>The devices' integers as the next turn takes them: probes as they were last read, switches when they have settled, drops since the turn before.</summary>
/// <param name="devices">The station's.</param>
internal sealed class RawIntake(LateDevices devices)
{
    private readonly Debounce[] _debounces = new Debounce[3];
    private RawSamples _raw = RawSamples.None();
    private RawSamples _polled = RawSamples.None();

    /// <summary>The integers.</summary>
    public ref readonly RawSamples Raw => ref _raw;

    /// <summary>Drops counted since the start.</summary>
    public long Drops { get; private set; }

    /// <summary>Takes over freshly read probes.</summary>
    public void Take(in RawSamples probes)
    {
        for (var channel = Channel.VesselConductivity; channel <= Channel.TankTemperature; channel++)
        {
            _raw[channel] = probes[channel];
        }

        _raw[Channel.Mass] = probes[Channel.Mass];
        _raw[Channel.Level] = probes[Channel.Level];
        _raw[Channel.TankLight] = probes[Channel.TankLight];
    }

    /// <summary>Polls and debounces the switches.</summary>
    /// <returns>Whether one has changed.</returns>
    public bool Poll(double debounceSeconds, MonotonicTime now)
    {
        devices.PollSwitches(now, ref _polled);
        var changed = false;
        for (var i = 0; i < _debounces.Length; i++)
        {
            var channel = (Channel)((int)Channel.FloatLow + i);
            var settled = _debounces[i].Update(_polled[channel], debounceSeconds);
            changed |= settled.Code != _raw[channel].Code || settled.Reason != _raw[channel].Reason;
            _raw[channel] = settled;
        }

        return changed;
    }

    /// <summary>Takes the drops that fell since the turn before.</summary>
    public void TakeDrops(MonotonicTime now)
    {
        _raw[Channel.Drops] = devices.TakeDrops(now);
        Drops += _raw[Channel.Drops].Code;
    }
}
