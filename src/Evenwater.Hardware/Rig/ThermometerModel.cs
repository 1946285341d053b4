namespace Evenwater.Hardware.Rig;

/// <summary>A DS18B20, from the water to the text that the kernel makes of its memory.</summary>
internal sealed class ThermometerModel(ThermometerFacts facts)
{
    /// <summary>Memory as it is at power-on, the data sheet's own example with its check byte.</summary>
    private static readonly byte[] PowerOn = [0x50, 0x05, 0x4B, 0x46, 0x7F, 0xFF, 0x0C, 0x10, 0x1C];

    private const int PowerOnMillicelsius = 85_000;

    private double _celsius;

    /// <summary>What it would read now, 1/16 °C.</summary>
    public short Sixteenths { get; private set; }

    public void Settle(double celsius)
    {
        _celsius = celsius;
        Sixteenths = ToSixteenths(celsius + facts.OffsetCelsius);
    }

    public void Step(double seconds, double celsius, ref Pcg random)
    {
        _celsius += (celsius - _celsius) * (facts.LagSeconds > 0 ? (1 - Math.Exp(-seconds / facts.LagSeconds)) : 1);
        Sixteenths = ToSixteenths(_celsius + facts.OffsetCelsius + (facts.NoiseCelsius * random.NextNormal()));
    }

    /// <summary>The text of w1_slave.</summary>
    /// <param name="converted">False when it has only just got its power back.</param>
    public string Text(bool converted)
    {
        if (!converted)
        {
            return Write(PowerOn, PowerOnMillicelsius);
        }

        Span<byte> frame = stackalloc byte[ThermometerFrame.Length];
        Fill(frame, Sixteenths);
        return Write(frame, Sixteenths * 1000 / 16);
    }

    /// <summary>Memory after a 12-bit conversion. Byte 6 counts down with the fraction (from memory, as byte 6 is "reserved" in the data sheet).</summary>
    internal static void Fill(Span<byte> frame, short sixteenths)
    {
        frame[0] = (byte)sixteenths;
        frame[1] = (byte)(sixteenths >> 8);
        frame[2] = 0x4B;
        frame[3] = 0x46;
        frame[4] = 0x7F;
        frame[5] = 0xFF;
        frame[6] = (byte)(0x10 - (sixteenths & 0x0F));
        frame[7] = 0x10;
        frame[8] = Crc8.Of(frame[..8]);
    }

    internal static string Write(ReadOnlySpan<byte> frame, int millicelsius)
    {
        Span<char> bytes = stackalloc char[3 * ThermometerFrame.Length];
        for (var i = 0; i < frame.Length; i++)
        {
            frame[i].TryFormat(bytes[(3 * i)..], out _, "x2");
            bytes[(3 * i) + 2] = ' ';
        }

        return $"{bytes}: crc={frame[8]:x2} YES\n{bytes}t={millicelsius}\n";
    }

    private static short ToSixteenths(double celsius) => (short)Math.Round(Math.Clamp(celsius, -55, 125) * 16);
}
