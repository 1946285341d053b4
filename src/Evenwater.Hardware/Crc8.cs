namespace Evenwater.Hardware;

/// <summary>CRC-8/MAXIM-DOW: x^8 + x^5 + x^4 + 1, reflected (0x8C), start 0, no final exclusive or.</summary>
public static class Crc8
{
    private const byte ReflectedPolynomial = 0x8C;

    /// <summary>The check byte of <paramref name="bytes"/>.</summary>
    public static byte Of(ReadOnlySpan<byte> bytes)
    {
        byte crc = 0;
        foreach (var value in bytes)
        {
            crc ^= value;
            for (var bit = 0; bit < 8; bit++)
            {
                crc = (byte)((crc & 1) != 0 ? (crc >> 1) ^ ReflectedPolynomial : crc >> 1);
            }
        }

        return crc;
    }
}
