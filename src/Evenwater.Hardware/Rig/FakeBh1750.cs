using System.Buffers.Binary;
using System.Device.I2c;

namespace Evenwater.Hardware.Rig;

/// <summary>
/// A BH1750 as the bus sees it: instructions of one byte, and an answer of two, high byte first. Instruction set: BH1750FVI technical note, "Instruction Set Architecture".
/// A measurement is done at once, but read only by the next look, as the real one's is 120 ms after the instruction.
/// </summary>
/// <param name="bus">The bus, which may fall silent.</param>
/// <param name="settings">Bus and address.</param>
/// <param name="lux">The light on it, lx.</param>
internal sealed class FakeBh1750(FakeI2cBus bus, I2cConnectionSettings settings, Func<double> lux) : I2cDevice
{
    private const byte PowerDown = 0b0000_0000;
    private const byte PowerOn = 0b0000_0001;
    private const byte Reset = 0b0000_0111;
    private const byte ContinuousHighResolution = 0b0001_0000;
    private const double CountsPerLux = 1.2;

    private ushort _result;
    private ushort _next;

    public override I2cConnectionSettings ConnectionSettings => settings;

    /// <summary>Whether it has power and was switched on.</summary>
    public bool IsOn { get; private set; }

    /// <summary>Every instruction so far.</summary>
    public List<byte> Instructions { get; } = [];

    /// <summary>Its power goes and comes back: it is off, and has measured nothing.</summary>
    public void LosePower() => (IsOn, _result, _next) = (false, 0, 0);

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        bus.Acknowledge();
        foreach (var instruction in buffer)
        {
            Obey(instruction);
        }
    }

    public override void Read(Span<byte> buffer)
    {
        bus.Acknowledge();
        Span<byte> bytes = stackalloc byte[2];
        BinaryPrimitives.WriteUInt16BigEndian(bytes, _result);
        bytes[..Math.Min(2, buffer.Length)].CopyTo(buffer);
        _result = _next;
    }

    public override void WriteRead(ReadOnlySpan<byte> writeBuffer, Span<byte> readBuffer)
    {
        Write(writeBuffer);
        Read(readBuffer);
    }

    private void Obey(byte instruction)
    {
        if (Instructions.Count < 1000)
        {
            Instructions.Add(instruction);
        }

        switch (instruction)
        {
            case PowerDown:
                IsOn = false;
                break;
            case PowerOn:
                IsOn = true;
                break;
            case Reset when IsOn: // not accepted in power down
                (_result, _next) = (0, 0);
                break;
            case ContinuousHighResolution: // "power on" may be left out
                IsOn = true;
                _next = (ushort)Math.Clamp(Math.Round(lux() * CountsPerLux), 0, ushort.MaxValue);
                break;
        }
    }
}
