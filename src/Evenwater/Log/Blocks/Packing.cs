using System.Buffers;
using System.IO.Compression;

namespace Evenwater.Log.Blocks;

/// <summary>
/// Bytes made smaller by the library's Brotli (RFC 7932), or left as they are where that is no gain. The first byte says which.
/// </summary>
internal static class Packing
{
    private const byte AsItIs = 0;
    private const byte Brotli = 1;

    /// <summary>Above this nothing is unpacked: a damaged length must not take all memory.</summary>
    private const int MostBytes = 1 << 26;

    /// <summary>Window of the compressor, log2 bytes. Above 16 the library looks for matches in a table of 32 MB, of which an hour of cycles touches 13.</summary>
    private const int Window = 16;

    /// <param name="bytes">What is packed.</param>
    /// <param name="quality">0 (fast) to 11 (small).</param>
    public static byte[] Pack(ReadOnlySpan<byte> bytes, int quality)
    {
        var rented = ArrayPool<byte>.Shared.Rent(BrotliEncoder.GetMaxCompressedLength(bytes.Length) + 8);
        try
        {
            var header = Header(rented, bytes.Length);
            return BrotliEncoder.TryCompress(bytes, rented.AsSpan(header), out var written, quality, Window) && header + written <= bytes.Length
                ? rented[..(header + written)]
                : [AsItIs, .. bytes];
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(rented);
        }
    }

    /// <exception cref="InvalidDataException">It was not packed here, or is damaged.</exception>
    public static byte[] Unpack(ReadOnlySpan<byte> packed)
    {
        if (packed.Length > 0 && packed[0] == AsItIs)
        {
            return packed[1..].ToArray();
        }

        if (packed.Length < 5 || packed[0] != Brotli)
        {
            throw new InvalidDataException("a block of the log was packed in a way that this program does not know");
        }

        var length = BitConverter.ToInt32(packed[1..5]);
        if (length is < 0 or > MostBytes)
        {
            throw new InvalidDataException($"a block of the log says that it holds {length} bytes");
        }

        var bytes = new byte[length];
        return BrotliDecoder.TryDecompress(packed[5..], bytes, out var written) && written == length
            ? bytes
            : throw new InvalidDataException("a block of the log is damaged");
    }

    private static int Header(byte[] into, int length)
    {
        into[0] = Brotli;
        BitConverter.TryWriteBytes(into.AsSpan(1), length);
        return 5;
    }
}
