using System.Device.Gpio;
using System.Device.Gpio.Drivers;
using Evenwater.Core;

namespace Evenwater.Hardware;

/// <summary>
/// An HX711-type converter: 24 bits, clocked out by hand over two lines. Raw: counts. All of it is "Serial Interface" of the HX711
/// data sheet: data is low when a conversion is ready; 24 clocks shift it out, highest bit first, in two's complement; a 25th
/// chooses channel A with gain 128 for the next one and drives data high again.
/// </summary>
/// <remarks>
/// The GPIO library's own binding waits for a ready chip without end and gives no raw counts. A clock that stays high for 60 µs
/// switches the chip off, and on a busy computer it may: such a reading is thrown away and the chip is ready again 0.4 s later.
/// </remarks>
public sealed class LoadCell : IDisposable
{
    private const int Bits = 24;
    private const int Sign = 1 << (Bits - 1);

    /// <summary>The clock's high time must stay below 50 µs; 60 µs is power-down.</summary>
    private const double LongestClockSeconds = 50e-6;

    /// <summary>A sample this old still stands for a reading that was missed, s: one lost reading must not look like a lost scale.</summary>
    private const double PatienceSeconds = 3;

    /// <summary>While a new conversion takes the place of an old one, data is high for some microseconds: look again a few times.</summary>
    private const int Looks = 5;

    private readonly GpioController _controller;
    private readonly int _clock;
    private readonly int _data;
    private readonly Func<MonotonicTime> _now;
    private RawSample? _last;
    private bool _broken;

    /// <summary>Takes the two lines, the clock low.</summary>
    /// <param name="controller">The pins.</param>
    /// <param name="clockLine">To the chip's clock.</param>
    /// <param name="dataLine">From its data; with a pull-up, so that a chip that is not there is never ready.</param>
    /// <param name="now">A clock with microseconds.</param>
    public LoadCell(GpioController controller, int clockLine, int dataLine, Func<MonotonicTime> now)
    {
        ArgumentNullException.ThrowIfNull(controller);
        (_controller, _clock, _data, _now) = (controller, clockLine, dataLine, now);
        controller.OpenPin(clockLine, PinMode.Output, PinValue.Low);
        controller.Write(clockLine, PinValue.Low); // not every driver looks at the first value
        try
        {
            controller.OpenPin(dataLine, PinMode.InputPullUp);
        }
        catch
        {
            controller.ClosePin(clockLine);
            throw;
        }
    }

    /// <summary>
    /// The conversion that is ready: counts, or <see cref="Reason.OutOfRange"/> at either end of the scale. When none is ready, or it was
    /// not clocked out as it should be, the last sample once more with its own time, and after 3 s <see cref="Reason.NoAnswer"/>.
    /// </summary>
    public RawSample Read(MonotonicTime now)
    {
        if (Fetch() is { } counts)
        {
            _last = counts is -Sign or Sign - 1 ? RawSample.Missing(Reason.OutOfRange, now) : RawSample.Of(counts, now);
        }

        return _last is { } last && now.SecondsSince(last.TakenAt) <= PatienceSeconds ? last : RawSample.Missing(Reason.NoAnswer, now);
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        try
        {
            _controller.ClosePin(_clock);
        }
        finally
        {
            _controller.ClosePin(_data);
        }
    }

    private int? Fetch()
    {
        try
        {
            if (_broken)
            {
                // Clocked out in part, the rest would be taken for a whole one. High until the next look switches the chip off, low begins anew ("Reset and Power-Down Sequence").
                _controller.Write(_clock, PinValue.High);
                _broken = false;
                return null;
            }

            _controller.Write(_clock, PinValue.Low);
            return IsReady() ? ShiftOut() : null;
        }
        catch (Exception failure) when (failure is IOException or GpiodException)
        {
            _broken = true;
            return null;
        }
    }

    private bool IsReady()
    {
        for (var look = 0; look < Looks; look++)
        {
            if (!Data())
            {
                return true;
            }
        }

        return false;
    }

    private int? ShiftOut()
    {
        var (bits, inTime) = (0, true);
        for (var i = 0; i < Bits; i++)
        {
            inTime &= Clock();
            bits = (bits << 1) | (Data() ? 1 : 0);
        }

        inTime &= Clock();
        return inTime && Data() ? (bits ^ Sign) - Sign : null;
    }

    /// <summary>One pulse; false when it was so long that the chip may have gone to sleep.</summary>
    private bool Clock()
    {
        var from = _now();
        _controller.Write(_clock, PinValue.High);
        _controller.Write(_clock, PinValue.Low);
        return _now().SecondsSince(from) < LongestClockSeconds;
    }

    private bool Data() => _controller.Read(_data) == PinValue.High;
}
