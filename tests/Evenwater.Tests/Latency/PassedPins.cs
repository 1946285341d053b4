using System.Device.Gpio;
using Evenwater.Hardware.Rig;

namespace Evenwater.Tests.Latency;

/// <summary>Stands between a station's drivers and the rig's pins and passes all on; who derives from it watches or disturbs.</summary>
internal abstract class PassedPins(SimulatedRig rig) : GpioDriver
{
    private readonly GpioController _inner = new(rig.Pins);

    protected override int PinCount => _inner.PinCount;

    protected override void OpenPin(int pinNumber) => _inner.OpenPin(pinNumber);

    protected override void ClosePin(int pinNumber) => _inner.ClosePin(pinNumber);

    protected override void SetPinMode(int pinNumber, PinMode mode) => _inner.SetPinMode(pinNumber, mode);

    protected override PinMode GetPinMode(int pinNumber) => _inner.GetPinMode(pinNumber);

    protected override bool IsPinModeSupported(int pinNumber, PinMode mode) => _inner.IsPinModeSupported(pinNumber, mode);

    protected override PinValue Read(int pinNumber) => _inner.Read(pinNumber);

    protected override void Write(int pinNumber, PinValue value) => _inner.Write(pinNumber, value);

    protected override WaitForEventResult WaitForEvent(int pinNumber, PinEventTypes eventTypes, CancellationToken cancellationToken) => throw new NotSupportedException();

    protected override void AddCallbackForPinValueChangedEvent(int pinNumber, PinEventTypes eventTypes, PinChangeEventHandler callback) =>
        _inner.RegisterCallbackForPinValueChangedEvent(pinNumber, eventTypes, callback);

    protected override void RemoveCallbackForPinValueChangedEvent(int pinNumber, PinChangeEventHandler callback) =>
        _inner.UnregisterCallbackForPinValueChangedEvent(pinNumber, callback);

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _inner.Dispose();
        }

        base.Dispose(disposing);
    }
}
