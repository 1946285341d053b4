using System.Device.Gpio;
using System.Device.Gpio.Drivers;
using Evenwater.Core;

namespace Evenwater.Hardware;

/// <summary>
/// A float or a leak switch: a contact to ground that is closed while all is well, and a pull-up. The line is low when dry,
/// and high when wet or when the wire is cut, so a broken wire reads as danger. Raw: 0 = dry, 1 = wet or cut; no debouncing here.
/// </summary>
/// <remarks>
/// Fit a pull-up resistor (10 kΩ to 3.3 V) on the wire. The pin's own pull-up is asked for as well, but it is weak and absent
/// until the program runs. Older versions of the libgpiod 2 driver ignored the request; the one built with applies it.
/// </remarks>
public sealed class SwitchInput : IDisposable
{
    private readonly GpioController _controller;
    private readonly int _line;

    /// <summary>Takes the line as an input with pull-up.</summary>
    public SwitchInput(GpioController controller, int line)
    {
        ArgumentNullException.ThrowIfNull(controller);
        _controller = controller;
        _line = line;
        controller.OpenPin(line, PinMode.InputPullUp);
    }

    /// <summary>The level now; <see cref="Reason.NoAnswer"/> when the line cannot be read.</summary>
    public RawSample Read(MonotonicTime now)
    {
        try
        {
            return RawSample.Of(_controller.Read(_line) == PinValue.High ? 1 : 0, now);
        }
        catch (Exception failure) when (failure is IOException or GpiodException)
        {
            return RawSample.Missing(Reason.NoAnswer, now);
        }
    }

    /// <inheritdoc/>
    public void Dispose() => _controller.ClosePin(_line);
}
