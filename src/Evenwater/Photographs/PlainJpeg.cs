using System.Buffers.Binary;

namespace Evenwater.Photographs;

/// <summary>Whether a JPEG holds its picture and nothing else: what a process that may have been taken over hands back is looked at before it is kept.</summary>
internal static class PlainJpeg
{
    private const byte Marker = 0xFF;
    private const byte Start = 0xD8;
    private const byte End = 0xD9;
    private const byte Scan = 0xDA;

    /// <summary>True for SOI, then segments of tables, frame and JFIF alone, a scan, and EOI as the last two bytes (ITU-T T.81, B.1 and B.2). No other application data, no comment.</summary>
    public static bool Is(ReadOnlySpan<byte> file)
    {
        if (file is not [Marker, Start, .., Marker, End]) return false;
        var at = 2;
        while (at + 4 <= file.Length && file[at] == Marker)
        {
            var (kind, length) = (file[at + 1], BinaryPrimitives.ReadUInt16BigEndian(file[(at + 2)..]));
            if (!IsPicture(kind) || length < 2) return false;
            at += 2 + length;
            if (kind == Scan) return at < file.Length && IsLast(file[at..]);
        }

        return false;
    }

    /// <summary>APP0 (JFIF), SOF0 to SOF2, DHT, DQT, DRI, SOS.</summary>
    private static bool IsPicture(byte kind) => kind is 0xE0 or 0xC0 or 0xC1 or 0xC2 or 0xC4 or 0xDB or 0xDD or Scan;

    /// <summary>Within a baseline scan an FF is followed by a stuffed 0 or a restart; the first other marker is the end, and nothing comes after it.</summary>
    private static bool IsLast(ReadOnlySpan<byte> scan)
    {
        for (var i = 0; i + 1 < scan.Length; i++)
        {
            if (scan[i] != Marker || scan[i + 1] is 0 or (>= 0xD0 and <= 0xD7)) continue;
            return scan[i + 1] == End && i + 2 == scan.Length;
        }

        return false;
    }
}
