using System.Device.Gpio;
using System.Device.Gpio.Drivers;
using Evenwater.Core;

namespace Evenwater.Hardware;

/// <summary>
/// Counts drops that fall through a photo-interrupter. The line has a pull-up and is low while light reaches the sensor: a drop
/// makes it high for some milliseconds, and a cut wire or a blocked beam keeps it high. Raw: drops since the last reading.
/// </summary>
/// <remarks>
/// A drop is far shorter than the time between polls, so this one line relies on the kernel's edges: it queues them, and each is
/// taken from there. A drop that is missed all the same is an error of the drop's size to whoever uses the count.
/// No drop is in two readings, and none that was counted between two readings is lost. Two whose edges are told together, because the thread that tells of them was held up,
/// count as one: an edge's own time is not told, so they look like one drop's bounce.
/// The thread that tells of edges is the library's: where the kernel refuses it an edge it dies without a word, and a count of 0 would look like a drip that has stopped. So the level
/// is looked at as well (<see cref="Look"/>): a beam that was seen dark and of which no edge tells is no answer until one does. A drop of 5 ms is seen by one look in ten.
/// </remarks>
public sealed class DropCounter : IDisposable
{
    /// <summary>A rise sooner than this after the last counted one is the same drop's bounce or its satellite, s. Common practice, no source.</summary>
    public const double ShortestSeconds = 0.02;

    /// <summary>No drop darkens the beam for this long, s: it is blocked, or the wire is cut.</summary>
    public const double LongestDarkSeconds = 1;

    private readonly Lock _lock = new();
    private readonly GpioController _controller;
    private readonly int _line;
    private readonly Func<MonotonicTime> _now;
    private MonotonicTime _lastCounted = new(long.MinValue / 2);
    private MonotonicTime _darkSince;
    private bool _dark;
    private int _count;
    private long _edges;
    private bool _untold;
    private MonotonicTime _seenDarkAt;

    /// <summary>Takes the line as an input with pull-up and listens to its edges.</summary>
    /// <param name="controller">The pins.</param>
    /// <param name="line">The line.</param>
    /// <param name="now">The time of an edge, asked on the thread that tells of it.</param>
    public DropCounter(GpioController controller, int line, Func<MonotonicTime> now)
    {
        ArgumentNullException.ThrowIfNull(controller);
        (_controller, _line, _now) = (controller, line, now);
        controller.OpenPin(line, PinMode.InputPullUp);
        _dark = controller.Read(line) == PinValue.High;
        _darkSince = now();
        controller.RegisterCallbackForPinValueChangedEvent(line, PinEventTypes.Rising | PinEventTypes.Falling, Changed);
    }

    /// <summary>Looks at the line itself, beside the edges that are told; call it with the switches.</summary>
    public void Look()
    {
        long edges;
        lock (_lock)
        {
            edges = _edges;
        }

        // Not under the lock: the driver may be telling of an edge, which waits for it.
        var unread = false;
        var high = false;
        try
        {
            high = _controller.Read(_line) == PinValue.High;
        }
        catch (Exception failure) when (failure is IOException or GpiodException)
        {
            unread = true;
        }

        lock (_lock)
        {
            if (!_untold && edges == _edges && (unread || (high && !_dark)))
            {
                (_untold, _seenDarkAt) = (true, _now());
            }
        }
    }

    /// <summary>Drops since the last call; <see cref="Reason.NoAnswer"/> while the beam is dark for longer than a drop is, or was seen dark and no edge tells of it.</summary>
    public RawSample Read(MonotonicTime now)
    {
        lock (_lock)
        {
            var count = _count;
            _count = 0;
            return (_dark && _now().SecondsSince(_darkSince) > LongestDarkSeconds)
                || (_untold && _now().SecondsSince(_seenDarkAt) > LongestDarkSeconds)
                ? RawSample.Missing(Reason.NoAnswer, now)
                : RawSample.Of(count, now);
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        try
        {
            _controller.UnregisterCallbackForPinValueChangedEvent(_line, Changed);
        }
        finally
        {
            _controller.ClosePin(_line);
        }
    }

    private void Changed(object sender, PinValueChangedEventArgs edge)
    {
        lock (_lock)
        {
            var at = _now();
            _edges++;
            _untold = false;
            _dark = edge.ChangeType == PinEventTypes.Rising;
            if (!_dark)
            {
                return;
            }

            _darkSince = at;
            if (at.SecondsSince(_lastCounted) >= ShortestSeconds)
            {
                _lastCounted = at;
                _count++;
            }
        }
    }
}
