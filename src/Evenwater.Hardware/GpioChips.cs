using System.Device.Gpio;
using System.Device.Gpio.Drivers;
using System.Diagnostics.CodeAnalysis;
using Evenwater.Core.Stations;

namespace Evenwater.Hardware;

/// <summary>
/// Opens the computer's pins by the chip's label and by the library that the station file names. Chip numbers differ between
/// boards and kernels, and the label-free constructors of the GPIO library guess.
/// </summary>
/// <remarks>Choosing by label is tested; opening a real chip is not, for want of one where this was written.</remarks>
[SuppressMessage("Usage", "SDGPIO0001", Justification = "The drivers by chip are marked experimental; they are the only way to choose a chip by label.")]
[SuppressMessage("Reliability", "CA2000", Justification = "The controller disposes of its driver.")]
public static class GpioChips
{
    /// <summary>Opens the chip of that label.</summary>
    /// <param name="label">As gpiodetect prints it.</param>
    /// <param name="library">Which library to use.</param>
    /// <param name="description">What was opened, for the log.</param>
    /// <exception cref="GpioChipException">There is no such chip, several, or no such library here.</exception>
    public static GpioController Open(string label, GpioLibrary library, out string description)
    {
        RequireOpen("/dev");
        try
        {
            var chip = Choose(label, library == GpioLibrary.Libgpiod1
                ? LibGpiodDriver.GetAvailableChips()
                : LibGpiodV2Driver.GetAvailableChips());
            description = $"gpiochip{chip.Id} [{chip.Label}], {chip.NumLines} lines, through {NameOf(library)}";
            return new GpioController(library == GpioLibrary.Libgpiod1 ? new LibGpiodDriver(chip) : new LibGpiodV2Driver(chip));
        }
        catch (Exception failure) when (failure is DllNotFoundException or EntryPointNotFoundException
            or PlatformNotSupportedException or GpiodException or IOException or UnauthorizedAccessException)
        {
            var why = failure.GetBaseException() is DllNotFoundException ? "that library is not here" : failure.GetBaseException().Message.TrimEnd('.');
            throw new GpioChipException(
                $"sensors.gpioChipLabel \"{label}\" cannot be opened through {NameOf(library)} (sensors.gpioLibrary): {why}. "
                + "Debian 12 has libgpiod 1 (apt install libgpiod2), Debian 13 has libgpiod 2 (apt install libgpiod3); the user must be in the group gpio.",
                failure);
        }
    }

    /// <summary>
    /// Whether this user may open every chip in the folder. Both libraries list them by opening each, and the first of them, told of one that can not be, gives the binding no list to go through, which
    /// ends the whole program without a word (seen with libgpiod 1.6.3).
    /// </summary>
    /// <exception cref="GpioChipException">One can not be opened.</exception>
    internal static void RequireOpen(string folder)
    {
        foreach (var chip in Directory.EnumerateFiles(folder, "gpiochip*"))
        {
            try
            {
                File.OpenHandle(chip, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite).Dispose();
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
            {
                throw new GpioChipException(
                    $"{chip} cannot be opened by the user {Environment.UserName}, and the chips are listed by opening each: {failure.Message} The user must be in the group gpio; where the pins belong to root alone, a udev rule gives them to that group (systemd/install.md, \"Before\").",
                    failure);
            }
        }
    }

    /// <summary>The one chip of that label.</summary>
    /// <exception cref="GpioChipException">None, or more than one.</exception>
    internal static GpioChipInfo Choose(string label, IEnumerable<GpioChipInfo> chips)
    {
        // A Raspberry Pi 5 has /dev/gpiochip4 as a link to gpiochip0, and the list then names that one chip twice; the kernel's name is each chip's own.
        var all = chips.DistinctBy(chip => chip.Name).ToList();
        var found = all.Where(chip => chip.Label == label).ToList();
        if (found.Count == 1)
        {
            return found[0];
        }

        var labels = all.Count == 0 ? "no chip at all" : string.Join(", ", all.Select(chip => $"\"{chip.Label}\" (gpiochip{chip.Id})"));
        throw new GpioChipException(
            $"sensors.gpioChipLabel \"{label}\" names {found.Count} GPIO chips and must name exactly one; this computer has {labels}. Write one as gpiodetect prints it (hardware/README.md, \"Wiring\").");
    }

    private static string NameOf(GpioLibrary library) => library == GpioLibrary.Libgpiod1 ? "libgpiod 1" : "libgpiod 2";
}
