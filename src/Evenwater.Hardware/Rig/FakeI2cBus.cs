using System.Device.I2c;

namespace Evenwater.Hardware.Rig;

/// <summary>An I2C bus in memory. An address without a device does not acknowledge.</summary>
/// <param name="number">The bus number that its devices report.</param>
internal sealed class FakeI2cBus(int number) : I2cBus
{
    private readonly Dictionary<int, I2cDevice> _chips = [];

    /// <summary>Whether nothing on the bus acknowledges.</summary>
    public bool Silent { get; set; }

    /// <summary>How many transfers from now are lost.</summary>
    public int SilentTransfers { get; set; }

    /// <summary>Ends the transfer when nobody acknowledges it.</summary>
    public void Acknowledge()
    {
        if (Silent || (SilentTransfers > 0 && SilentTransfers-- > 0))
        {
            throw AbsentI2cDevice.NotAcknowledged();
        }
    }

    public FakeAds1115 Attach(int address, Func<int, double> inputVolts)
    {
        var chip = new FakeAds1115(this, new I2cConnectionSettings(number, address), inputVolts);
        _chips.Add(address, chip);
        return chip;
    }

    public FakeBh1750 AttachLight(int address, Func<double> lux)
    {
        var chip = new FakeBh1750(this, new I2cConnectionSettings(number, address), lux);
        _chips.Add(address, chip);
        return chip;
    }

    /// <inheritdoc/>
    public override I2cDevice CreateDevice(int deviceAddress) => _chips.TryGetValue(deviceAddress, out var chip)
        ? chip
        : new AbsentI2cDevice(new I2cConnectionSettings(number, deviceAddress));

    /// <inheritdoc/>
    public override void RemoveDevice(int deviceAddress)
    {
        // The chip stays on the bus; only the program's view of it goes.
    }
}
