using System.Buffers;
using System.IO.Compression;
using System.Numerics;

namespace Evenwater.Log.Blocks;

/// <summary>
/// Bytes made smaller by the library's Brotli (RFC 7932), or left as they are where that is no gain. The first byte says which; then comes the check sum of what was packed, for of what a
/// worn card has spoilt Brotli makes other bytes, and says nothing, more often than not.
/// </summary>
internal static class Packing
{
    private const byte AsItIs = 0x5A; // neither is made the other, nor one of the old two, by a single bit
    private const byte Brotli = 0xA5;

    /// <summary>The same two of before there was a check sum: they are read, and no longer written.</summary>
    private const byte UncheckedAsItIs = 0;
    private const byte UncheckedBrotli = 1;

    private const int SumBytes = sizeof(uint);

    /// <summary>Above this nothing is unpacked: a damaged length must not take all memory.</summary>
    private const int MostBytes = 1 << 26;

    /// <summary>Window of the compressor, log2 bytes. Above 16 the library looks for matches in a table of 32 MB, of which an hour of cycles touches 13.</summary>
    private const int Window = 16;

    /// <param name="bytes">What is packed.</param>
    /// <param name="quality">0 (fast) to 11 (small).</param>
    public static byte[] Pack(ReadOnlySpan<byte> bytes, int quality)
    {
        const int Header = 1 + SumBytes + sizeof(int);
        var sum = Sum(bytes);
        var rented = ArrayPool<byte>.Shared.Rent(BrotliEncoder.GetMaxCompressedLength(bytes.Length) + Header);
        try
        {
            rented[0] = Brotli;
            BitConverter.TryWriteBytes(rented.AsSpan(1), sum);
            BitConverter.TryWriteBytes(rented.AsSpan(1 + SumBytes), bytes.Length);
            return BrotliEncoder.TryCompress(bytes, rented.AsSpan(Header), out var written, quality, Window) && Header + written <= 1 + SumBytes + bytes.Length
                ? rented[..(Header + written)]
                : [AsItIs, .. BitConverter.GetBytes(sum), .. bytes];
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(rented);
        }
    }

    /// <exception cref="InvalidDataException">It was not packed here, or is damaged.</exception>
    public static byte[] Unpack(ReadOnlySpan<byte> packed)
    {
        switch (packed)
        {
            case [UncheckedAsItIs, .. var bytes]:
                return bytes.ToArray();
            case [UncheckedBrotli, .. var rest]:
                return Decompressed(rest);
            case [AsItIs or Brotli, _, _, _, _, .. var rest]:
                var unpacked = packed[0] == Brotli ? Decompressed(rest) : rest.ToArray();
                return Sum(unpacked) == BitConverter.ToUInt32(packed[1..]) ? unpacked : throw new InvalidDataException("a block of the log is damaged: its check sum is another");
            default:
                throw new InvalidDataException("a block of the log was packed in a way that this program does not know");
        }
    }

    /// <summary>CRC-32C as iSCSI has it (RFC 3720, section 12.1 and appendix B.4); both processors that this runs on have an instruction for it.</summary>
    public static uint Sum(ReadOnlySpan<byte> bytes)
    {
        var sum = uint.MaxValue;
        for (; bytes.Length >= sizeof(ulong); bytes = bytes[sizeof(ulong)..])
        {
            sum = BitOperations.Crc32C(sum, BitConverter.ToUInt64(bytes));
        }

        foreach (var one in bytes)
        {
            sum = BitOperations.Crc32C(sum, one);
        }

        return ~sum;
    }

    private static byte[] Decompressed(ReadOnlySpan<byte> packed)
    {
        if (packed.Length < sizeof(int) || BitConverter.ToInt32(packed) is < 0 or > MostBytes)
        {
            throw new InvalidDataException("a block of the log does not say how many bytes it holds");
        }

        var bytes = new byte[BitConverter.ToInt32(packed)];
        return BrotliDecoder.TryDecompress(packed[sizeof(int)..], bytes, out var written) && written == bytes.Length
            ? bytes
            : throw new InvalidDataException("a block of the log is damaged");
    }
}
