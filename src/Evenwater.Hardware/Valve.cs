using System.Device.Gpio;
using Evenwater.Core;

namespace Evenwater.Hardware;

/// <summary>
/// The output that holds the valve open. A pulse-held driver behind it feeds the coil only while the line keeps toggling, and
/// drops out within 2 s of the last toggle whatever level the line is left at. So the line must be toggled by software that
/// is alive: never by hardware PWM, which goes on when the process is dead.
/// </summary>
/// <remarks>
/// One thread calls <see cref="Pulse"/> at 20 Hz (a square wave of 10 Hz) and the cycle calls <see cref="Renew"/>. When the cycle
/// hangs, the lease ends after 3 s at most; when the process hangs or dies, the toggling ends at once.
/// </remarks>
public sealed class Valve : IDisposable
{
    /// <summary>The longest permission, s, from the pulse that first sees it.</summary>
    public const double LongestLeaseSeconds = 3;

    private readonly Lock _lock = new();
    private readonly GpioController _controller;
    private readonly int _line;
    private MonotonicTime _leaseEnd = Ended;
    private MonotonicTime _stillUntil = Ended;
    private bool _high;

    /// <summary>Takes the line as an output, low.</summary>
    public Valve(GpioController controller, int line)
    {
        ArgumentNullException.ThrowIfNull(controller);
        _controller = controller;
        _line = line;
        controller.OpenPin(line, PinMode.Output, PinValue.Low);
        controller.Write(line, PinValue.Low); // not every driver looks at the first value
    }

    private static MonotonicTime Ended => new(long.MinValue);

    /// <summary>Permits toggling until <paramref name="until"/>; a permission of more than 3 s is clipped by the next pulse.</summary>
    public void Renew(MonotonicTime until)
    {
        lock (_lock)
        {
            _leaseEnd = until;
        }
    }

    /// <summary>
    /// For a proof test: no toggle until <paramref name="until"/>, the line left high as a program that stops between two pulses may leave it.
    /// The driver must let go within 2 s. Closing ends it, and so does the permission's end; without a permission it does nothing.
    /// </summary>
    public void StandStill(MonotonicTime until, MonotonicTime now)
    {
        lock (_lock)
        {
            if (now < _leaseEnd)
            {
                _stillUntil = until;
                Drive(high: true);
            }
        }
    }

    /// <summary>Ends the permission and drives the line low at once.</summary>
    public void Close()
    {
        lock (_lock)
        {
            (_leaseEnd, _stillUntil) = (Ended, Ended);
            Drive(high: false);
        }
    }

    /// <summary>Toggles the line while the permission lasts; drives it low otherwise.</summary>
    public void Pulse(MonotonicTime now)
    {
        lock (_lock)
        {
            var longest = now.Plus(LongestLeaseSeconds);
            if (_leaseEnd > longest)
            {
                _leaseEnd = longest;
            }

            if (now < _leaseEnd && now < _stillUntil)
            {
                return;
            }

            Drive(now < _leaseEnd && !_high);
        }
    }

    /// <summary>Drives the line low and lets it go. What the line does afterwards is the kernel's affair: the pulse-held driver is what closes.</summary>
    public void Dispose()
    {
        try
        {
            Close();
        }
        finally
        {
            _controller.ClosePin(_line);
        }
    }

    private void Drive(bool high)
    {
        // Low is written again even when the line should be low already: what we believe of it may be wrong.
        _controller.Write(_line, high ? PinValue.High : PinValue.Low);
        _high = high;
    }
}
