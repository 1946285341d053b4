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
    private readonly PinChangeEventHandler?[] _listeners = new PinChangeEventHandler?[Lines];

    protected override int PinCount => Lines;

    /// <summary>An input line has changed its level: whoever listens is told, as the kernel would.</summary>
    public void Tell(int line, bool high) =>
        _listeners[line]?.Invoke(this, new PinValueChangedEventArgs(high ? PinEventTypes.Rising : PinEventTypes.Falling, line));

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
        throw new NotSupportedException("edges are told, not waited for");

    protected override void AddCallbackForPinValueChangedEvent(int pinNumber, PinEventTypes eventTypes, PinChangeEventHandler callback) =>
        _listeners[pinNumber] += GetPinMode(pinNumber) == PinMode.Output ? throw new InvalidOperationException($"line {pinNumber} is an output") : callback;

    protected override void RemoveCallbackForPinValueChangedEvent(int pinNumber, PinChangeEventHandler callback) =>
        _listeners[pinNumber] -= callback;
}
