using System.Device.Gpio;
using Evenwater.Core;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

/// <summary>A line that fails while a station is let go must not keep the others, and above all not the valve's, from it.</summary>
public sealed class LettingGoTests
{
    private static readonly Core.Stations.Sensors Sensors = TestStation.Weighed.Sensors;

    public static TheoryData<int> Lines { get; } =
        [Sensors.ValveLine, Sensors.FloatLowLine!.Value, Sensors.FloatHighLine!.Value, Sensors.LeakLine!.Value, Sensors.DropCounterLine!.Value, Sensors.LoadCell!.ClockLine, Sensors.LoadCell.DataLine];

    [Theory]
    [MemberData(nameof(Lines))]
    public void A_line_that_can_not_be_let_go_keeps_no_other_and_is_told(int stuck)
    {
        var pins = new Pins { Stuck = stuck };
        var devices = Dripping(pins);
        Assert.Equal("stuck", Assert.Throws<IOException>(devices.Dispose).Message);
        Assert.Equal([stuck], pins.Open);
        Assert.False(pins.High.GetValueOrDefault(Sensors.ValveLine));
        devices.Dispose(); // once is enough
    }

    [Fact]
    public void A_valve_line_that_can_not_be_written_is_let_go_like_all_others_and_is_told()
    {
        var pins = new Pins();
        var devices = Dripping(pins);
        pins.Unwritable = Sensors.ValveLine;
        Assert.Equal("unwritable", Assert.Throws<IOException>(devices.Dispose).Message);
        Assert.Empty(pins.Open);
        Assert.True(pins.IsDisposed);
    }

    private static StationDevices Dripping(Pins pins)
    {
        var devices = StationDevices.OnRig(Sensors, new SimulatedRig(TestStation.Weighed, 1, []), pins);
        Assert.Equal(Lines.Count, pins.Open.Count);
        devices.Valve.Renew(MonotonicTime.FromSeconds(3));
        devices.Valve.Pulse(MonotonicTime.FromSeconds(0));
        Assert.True(pins.High[Sensors.ValveLine]);
        return devices;
    }

    private sealed class Pins : GpioDriver
    {
        private readonly Dictionary<int, PinMode> _modes = [];

        public HashSet<int> Open { get; } = [];

        public Dictionary<int, bool> High { get; } = [];

        public int? Stuck { get; init; }

        public int? Unwritable { get; set; }

        public bool IsDisposed { get; private set; }

        protected override int PinCount => 54;

        protected override void OpenPin(int pinNumber) => Open.Add(pinNumber);

        protected override void ClosePin(int pinNumber) => _ = pinNumber == Stuck ? throw new IOException("stuck") : Open.Remove(pinNumber);

        protected override void SetPinMode(int pinNumber, PinMode mode) => _modes[pinNumber] = mode;

        protected override PinMode GetPinMode(int pinNumber) => _modes[pinNumber];

        protected override bool IsPinModeSupported(int pinNumber, PinMode mode) => true;

        protected override PinValue Read(int pinNumber) => PinValue.Low;

        protected override void Write(int pinNumber, PinValue value) => High[pinNumber] = pinNumber == Unwritable ? throw new IOException("unwritable") : value == PinValue.High;

        protected override WaitForEventResult WaitForEvent(int pinNumber, PinEventTypes eventTypes, CancellationToken cancellationToken) => throw new NotSupportedException();

        protected override void AddCallbackForPinValueChangedEvent(int pinNumber, PinEventTypes eventTypes, PinChangeEventHandler callback)
        {
        }

        protected override void RemoveCallbackForPinValueChangedEvent(int pinNumber, PinChangeEventHandler callback)
        {
        }

        protected override void Dispose(bool disposing)
        {
            IsDisposed = true;
            base.Dispose(disposing);
        }
    }
}
