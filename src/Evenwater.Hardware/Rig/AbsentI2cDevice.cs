using System.Device.I2c;

namespace Evenwater.Hardware.Rig;

/// <summary>An address where nothing is: every transfer ends in a missing acknowledge, which Linux reports as error 121.</summary>
internal sealed class AbsentI2cDevice(I2cConnectionSettings settings) : I2cDevice
{
    public override I2cConnectionSettings ConnectionSettings => settings;

    public static IOException NotAcknowledged() => new("Error 121 performing I2C data transfer: remote I/O error.");

    public override void Read(Span<byte> buffer) => throw NotAcknowledged();

    public override void Write(ReadOnlySpan<byte> buffer) => throw NotAcknowledged();

    public override void WriteRead(ReadOnlySpan<byte> writeBuffer, Span<byte> readBuffer) => throw NotAcknowledged();
}
