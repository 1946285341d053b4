using System.Device.Gpio;
using Evenwater.Core;
using Evenwater.Hardware;
using Evenwater.Hardware.Rig;

namespace Evenwater.HardwareTests;

public class SwitchInputTests
{
    private static readonly MonotonicTime _now = MonotonicTime.FromSeconds(5);

    [Fact]
    public void A_closed_contact_reads_dry_and_an_open_one_or_a_cut_wire_reads_wet()
    {
        var contactClosed = true;
        using var controller = new GpioController(new FakeGpioDriver(_ => !contactClosed, (_, _) => { }));
        using var input = new SwitchInput(controller, 17);
        Assert.Equal(PinMode.InputPullUp, controller.GetPinMode(17));
        Assert.Equal(RawSample.Of(0, _now), input.Read(_now));
        contactClosed = false;
        Assert.Equal(RawSample.Of(1, _now), input.Read(_now));
    }

    [Fact]
    public void A_line_that_cannot_be_read_is_no_answer()
    {
        using var controller = new GpioController(new FakeGpioDriver(_ => throw new IOException("gone"), (_, _) => { }));
        using var input = new SwitchInput(controller, 17);
        Assert.Equal(RawSample.Missing(Reason.NoAnswer, _now), input.Read(_now));
    }
}
