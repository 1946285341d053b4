using System.Device.Gpio;
using Evenwater.Core.Stations;
using Evenwater.Hardware;

namespace Evenwater.HardwareTests;

public class GpioChipsTests
{
    private static readonly GpioChipInfo[] _chips =
    [
        new(0, "gpiochip0", "pinctrl-a", 54),
        new(4, "gpiochip4", "expander", 8),
        new(5, "gpiochip5", "expander", 8),
    ];

    [Fact]
    public void The_label_chooses_the_chip_whatever_its_number() => Assert.Equal(0, GpioChips.Choose("pinctrl-a", _chips).Id);

    [Fact] // as /dev of a Raspberry Pi 5 was shown in 2026: gpiochip0, gpiochip10 to 13, and gpiochip4 -> gpiochip0 (a review of the gpiozero library)
    public void A_chip_that_has_a_link_beside_it_is_one_chip() =>
        Assert.Equal("gpiochip0", GpioChips.Choose("pinctrl-rp1", [new(10, "gpiochip10", "gpio-brcmstb", 32), new(4, "gpiochip0", "pinctrl-rp1", 54), new(0, "gpiochip0", "pinctrl-rp1", 54)]).Name);

    [Theory]
    [InlineData("pinctrl-b", "names 0")]
    [InlineData("expander", "names 2")]
    [InlineData("PINCTRL-A", "names 0")]
    public void A_label_that_is_not_exactly_one_chips_is_refused_and_told_what_there_is(string label, string because)
    {
        var failure = Assert.Throws<GpioChipException>(() => GpioChips.Choose(label, _chips));
        Assert.Contains($"\"{label}\" {because}", failure.Message, StringComparison.Ordinal);
        Assert.Contains("\"pinctrl-a\" (gpiochip0)", failure.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(GpioLibrary.Libgpiod1)]
    [InlineData(GpioLibrary.Libgpiod2)]
    public void Where_there_is_no_such_chip_or_library_the_error_names_the_keys(GpioLibrary library)
    {
        var failure = Assert.Throws<GpioChipException>(() => GpioChips.Open("no-such-label", library, out _));
        Assert.Contains("sensors.gpioChipLabel \"no-such-label\"", failure.Message, StringComparison.Ordinal);
    }

    /// <summary>libgpiod 1.6.3 lists no chip then, and the binding, which goes through that list, had ended the program by a segmentation fault: seen with /dev/gpiochip0 of root alone. A link to nothing can not be opened by root either.</summary>
    [Fact]
    public void A_chip_that_may_not_be_opened_is_told_before_the_library_is_asked()
    {
        var folder = Directory.CreateTempSubdirectory("evenwater-chips-");
        try
        {
            File.WriteAllText(Path.Combine(folder.FullName, "gpiochip0"), "");
            GpioChips.RequireOpen(folder.FullName);
            File.CreateSymbolicLink(Path.Combine(folder.FullName, "gpiochip4"), "nowhere");
            var failure = Assert.Throws<GpioChipException>(() => GpioChips.RequireOpen(folder.FullName));
            Assert.Contains("gpiochip4 cannot be opened by the user", failure.Message, StringComparison.Ordinal);
            Assert.Contains("group gpio", failure.Message, StringComparison.Ordinal);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
