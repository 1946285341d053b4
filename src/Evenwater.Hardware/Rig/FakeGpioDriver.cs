using System.Device.Gpio;

namespace Evenwater.Hardware.Rig;

/// <summary>Pins in memory: inputs take their level from the rig, outputs tell it.</summary>
/// <param name="readLevel">The level of an input line: true is high.</param>
/// <param name="writeLevel">Told the level of an output line.</param>
internal sealed class FakeGpioDriver(Func<int, bool> readLevel, Action<int, bool> writeLevel) : GpioDriver
{
    private const int Lines = 54;

    private readonly PinMode?[] _modes = new PinMode?[Lines];
    private readonly bool[] _outputs = new bool[Lines];

    protected override int PinCount => Lines;

    protected override void OpenPin(int pinNumber)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(pinNumber, Lines);
        _modes[pinNumber] = PinMode.Input;
    }

    protected override void ClosePin(int pinNumber) => _modes[pinNumber] = null;

    protected override void SetPinMode(int pinNumber, PinMode mode)
    {
        _modes[pinNumber] = mode;
        if (mode == PinMode.Output)
        {
            writeLevel(pinNumber, _outputs[pinNumber]);
        }
    }

    protected override PinMode GetPinMode(int pinNumber) =>
        _modes[pinNumber] ?? throw new InvalidOperationException($"line {pinNumber} is not open");

    protected override bool IsPinModeSupported(int pinNumber, PinMode mode) =>
        mode is PinMode.Input or PinMode.InputPullUp or PinMode.InputPullDown or PinMode.Output;

    protected override PinValue Read(int pinNumber) =>
        GetPinMode(pinNumber) == PinMode.Output ? _outputs[pinNumber] : readLevel(pinNumber);

    protected override void Write(int pinNumber, PinValue value)
    {
        if (GetPinMode(pinNumber) != PinMode.Output)
        {
            throw new InvalidOperationException($"line {pinNumber} is an input");
        }

        _outputs[pinNumber] = value == PinValue.High;
        writeLevel(pinNumber, _outputs[pinNumber]);
    }

    protected override WaitForEventResult WaitForEvent(int pinNumber, PinEventTypes eventTypes, CancellationToken cancellationToken) =>
        throw new NotSupportedException("the floats are polled");

    protected override void AddCallbackForPinValueChangedEvent(int pinNumber, PinEventTypes eventTypes, PinChangeEventHandler callback) =>
        throw new NotSupportedException("the floats are polled");

    protected override void RemoveCallbackForPinValueChangedEvent(int pinNumber, PinChangeEventHandler callback) =>
        throw new NotSupportedException("the floats are polled");
}
