using System.Globalization;
using Evenwater.Core;

namespace Evenwater.Hardware;

/// <summary>
/// Reads the text of a w1_slave file: nine bytes of a DS18B20's memory in hexadecimal, then the kernel's opinion of their
/// check byte. The check is repeated here, and the answers that a thermometer gives when it has not measured are told
/// apart from temperatures. Byte meanings: DS18B20 data sheet, "Memory" and "Temperature Register Format".
/// </summary>
public static class ThermometerFrame
{
    /// <summary>Bytes in a frame, the check byte included.</summary>
    public const int Length = 9;

    /// <summary>The power-on value 85 °C, in 1/16 °C: nothing was converted yet.</summary>
    public const short PowerOnSixteenths = 0x0550;

    /// <summary>Byte 6 as it is at power-on. A heuristic, from memory: after a conversion it holds something else.</summary>
    private const byte PowerOnByte6 = 0x0C;

    /// <summary>The thermometer's range, 1/16 °C: -55 to 125 °C.</summary>
    private const short LowestSixteenths = -55 * 16;
    private const short HighestSixteenths = 125 * 16;

    /// <summary>The sample in the text: 1/16 °C, or why there is none.</summary>
    public static RawSample Parse(ReadOnlySpan<char> text, MonotonicTime takenAt)
    {
        Span<byte> frame = stackalloc byte[Length];
        return TryReadBytes(text, frame) && KernelAgrees(text) && Crc8.Of(frame) == 0
            ? Judge(frame, takenAt)
            : RawSample.Missing(Reason.NoAnswer, takenAt);
    }

    private static RawSample Judge(ReadOnlySpan<byte> frame, MonotonicTime takenAt)
    {
        // Byte 4 is 0 R1 R0 1 1 1 1 1. An all-zero frame passes its check, but not this.
        var configuration = frame[4];
        if ((configuration & 0x9F) != 0x1F)
        {
            return RawSample.Missing(Reason.NoAnswer, takenAt);
        }

        // With fewer than 12 bits the lowest bits are undefined.
        var unused = 3 - ((configuration >> 5) & 3);
        var sixteenths = (short)((frame[1] << 8 | frame[0]) & (-1 << unused));
        return sixteenths switch
        {
            PowerOnSixteenths when frame[6] == PowerOnByte6 => RawSample.Missing(Reason.NoAnswer, takenAt),
            < LowestSixteenths or > HighestSixteenths => RawSample.Missing(Reason.OutOfRange, takenAt),
            _ => RawSample.Of(sixteenths, takenAt),
        };
    }

    /// <summary>Nine bytes, two digits each with one blank after it, at the start of the text.</summary>
    private static bool TryReadBytes(ReadOnlySpan<char> text, Span<byte> frame)
    {
        if (text.Length < 3 * Length)
        {
            return false;
        }

        for (var i = 0; i < Length; i++)
        {
            if (text[(3 * i) + 2] != ' '
                || !byte.TryParse(text.Slice(3 * i, 2), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out frame[i]))
            {
                return false;
            }
        }

        return true;
    }

    private static bool KernelAgrees(ReadOnlySpan<char> text)
    {
        var end = text.IndexOf('\n');
        return (end < 0 ? text : text[..end]).TrimEnd().EndsWith(" YES", StringComparison.Ordinal);
    }
}
