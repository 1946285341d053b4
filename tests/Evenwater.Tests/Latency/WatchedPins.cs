using System.Device.Gpio;
using System.Diagnostics;
using Evenwater.Core.Stations;
using Evenwater.Hardware.Rig;

namespace Evenwater.Tests.Latency;

/// <summary>
/// Stands between a station's drivers and the rig's pins: wets the high float when told, and takes the time of what the drivers do. Times are
/// of the machine's monotonic clock.
/// </summary>
internal sealed class WatchedPins(SimulatedRig rig, Sensors sensors) : PassedPins(rig)
{
    private readonly int _float = sensors.FloatHighLine!.Value;
    private readonly int _valve = sensors.ValveLine;
    private volatile bool _wet;
    private long _wetAt;
    private long _readAt;
    private long _settledAt;
    private long _closedAt;
    private volatile bool _reopened;

    /// <summary>While the pulses toggle the line low, that is no closing. In a live station they have a thread of their own.</summary>
    public bool Pulsing { get; set; }

    /// <summary>Whether the line was closed since the float was wetted.</summary>
    public bool Closed => Volatile.Read(ref _closedAt) != 0;

    /// <summary>Whether the line was driven high again after it.</summary>
    public bool Reopened => _reopened;

    /// <summary>From wet to closed.</summary>
    public TimeSpan Raw => Stopwatch.GetElapsedTime(_wetAt, _closedAt);

    /// <summary>From the read that settled the float, that is the last before the closing, to closed.</summary>
    public TimeSpan Debounced => Stopwatch.GetElapsedTime(_settledAt, _closedAt);

    /// <summary>The contact opens: a clean edge.</summary>
    public void Wet()
    {
        Volatile.Write(ref _closedAt, 0);
        _reopened = false;
        _wetAt = Stopwatch.GetTimestamp();
        _wet = true;
    }

    public void Dry() => _wet = false;

    protected override PinValue Read(int pinNumber)
    {
        var level = base.Read(pinNumber);
        if (pinNumber != _float)
        {
            return level;
        }

        _readAt = Stopwatch.GetTimestamp();
        return _wet ? PinValue.High : level;
    }

    protected override void Write(int pinNumber, PinValue value)
    {
        base.Write(pinNumber, value);
        if (pinNumber != _valve || !_wet)
        {
            return;
        }

        if (value == PinValue.High)
        {
            _reopened |= Closed;
        }
        else if (!Closed && !Pulsing && Thread.CurrentThread.Name != "pulses")
        {
            _settledAt = _readAt;
            Volatile.Write(ref _closedAt, Stopwatch.GetTimestamp());
        }
    }
}
