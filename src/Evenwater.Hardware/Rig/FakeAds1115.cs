using System.Buffers.Binary;
using System.Device.I2c;

namespace Evenwater.Hardware.Rig;

/// <summary>
/// An ADS1115 as the bus sees it: a register pointer and four big-endian registers. Register map and code tables: ADS1115 data
/// sheet, "Register Map"; multiplexer and gain codes also in Linux drivers/iio/adc/ti-ads1015.c.
/// </summary>
/// <param name="bus">The bus, which may fall silent.</param>
/// <param name="settings">Bus and address.</param>
/// <param name="inputVolts">The voltage at input 0 to 3, V.</param>
internal sealed class FakeAds1115(FakeI2cBus bus, I2cConnectionSettings settings, Func<int, double> inputVolts) : I2cDevice
{
    private const int ConversionRegister = 0;
    private const int ConfigurationRegister = 1;
    private const ushort ReadyOrStart = 0x8000;
    private const ushort SingleShot = 0x0100;

    private static readonly double[] FullScaleVolts = [6.144, 4.096, 2.048, 1.024, 0.512, 0.256, 0.256, 0.256];

    private readonly ushort[] _registers = [0x0000, 0x8583, 0x8000, 0x7FFF];
    private int _pointer;
    private int _busyReads;

    public override I2cConnectionSettings ConnectionSettings => settings;

    /// <summary>How often a started conversion still answers "busy"; 0 is ready at once.</summary>
    public int BusyReadsPerConversion { get; set; }

    /// <summary>The last configuration written.</summary>
    public ushort Configuration => _registers[ConfigurationRegister];

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        bus.Acknowledge();
        _pointer = buffer[0] & 3;
        if (buffer.Length == 3 && _pointer != ConversionRegister)
        {
            _registers[_pointer] = BinaryPrimitives.ReadUInt16BigEndian(buffer[1..]);
            if (_pointer == ConfigurationRegister)
            {
                Start();
            }
        }
    }

    public override void Read(Span<byte> buffer)
    {
        bus.Acknowledge();
        if (_pointer == ConfigurationRegister && _busyReads > 0 && --_busyReads == 0)
        {
            Finish();
        }

        Span<byte> bytes = stackalloc byte[2];
        BinaryPrimitives.WriteUInt16BigEndian(bytes, _registers[_pointer]);
        bytes[..Math.Min(2, buffer.Length)].CopyTo(buffer);
    }

    public override void WriteRead(ReadOnlySpan<byte> writeBuffer, Span<byte> readBuffer)
    {
        Write(writeBuffer);
        Read(readBuffer);
    }

    private void Start()
    {
        if ((Configuration & SingleShot) != 0 && (Configuration & ReadyOrStart) == 0)
        {
            return; // configured, but not asked to convert
        }

        _registers[ConfigurationRegister] &= unchecked((ushort)~ReadyOrStart);
        _busyReads = BusyReadsPerConversion;
        if (_busyReads == 0)
        {
            Finish();
        }
    }

    private void Finish()
    {
        var volts = ((Configuration >> 12) & 7) switch
        {
            0 => inputVolts(0) - inputVolts(1),
            1 => inputVolts(0) - inputVolts(3),
            2 => inputVolts(1) - inputVolts(3),
            3 => inputVolts(2) - inputVolts(3),
            var single => inputVolts(single - 4),
        };
        var counts = Math.Round(volts / FullScaleVolts[(Configuration >> 9) & 7] * 32768);
        _registers[ConversionRegister] = unchecked((ushort)(short)Math.Clamp(counts, short.MinValue, short.MaxValue));
        _registers[ConfigurationRegister] |= ReadyOrStart;
    }
}
