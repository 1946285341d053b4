using System.Buffers;

namespace Evenwater.Log.Blocks;

/// <summary>
/// Whole numbers, seven bits a byte, the lowest first, the high bit set on all but the last (LEB128; DWARF 5, section 7.6); signed ones are folded
/// first, so that small ones of either sign stay short (0, -1, 1, -2 become 0, 1, 2, 3).
/// </summary>
internal sealed class VarintWriter
{
    private readonly ArrayBufferWriter<byte> _bytes = new(256);

    public ReadOnlySpan<byte> Written => _bytes.WrittenSpan;

    public void Unsigned(ulong value)
    {
        var span = _bytes.GetSpan(10);
        var n = 0;
        while (value >= 0x80)
        {
            span[n++] = (byte)(value | 0x80);
            value >>= 7;
        }

        span[n++] = (byte)value;
        _bytes.Advance(n);
    }

    public void Signed(long value) => Unsigned((ulong)((value << 1) ^ (value >> 63)));

    public void Bytes(ReadOnlySpan<byte> bytes)
    {
        Unsigned((ulong)bytes.Length);
        _bytes.Write(bytes);
    }
}

/// <summary>Reads what <see cref="VarintWriter"/> wrote.</summary>
internal ref struct VarintReader(ReadOnlySpan<byte> bytes)
{
    private ReadOnlySpan<byte> _left = bytes;

    public readonly bool AtEnd => _left.IsEmpty;

    /// <exception cref="InvalidDataException">The bytes end too early, or a number is longer than 64 bits.</exception>
    public ulong Unsigned()
    {
        var value = 0UL;
        for (var i = 0; i < _left.Length && i < 10; i++)
        {
            var one = _left[i];
            value |= (ulong)(one & 0x7F) << (7 * i);
            if (one < 0x80)
            {
                _left = _left[(i + 1)..];
                return value;
            }
        }

        throw new InvalidDataException("a block of the log ends in the middle of a number");
    }

    /// <inheritdoc cref="Unsigned"/>
    public long Signed()
    {
        var folded = Unsigned();
        return (long)(folded >> 1) ^ -(long)(folded & 1);
    }

    /// <summary>A count of things that are still to come: never more than <paramref name="most"/>.</summary>
    /// <exception cref="InvalidDataException">It is more.</exception>
    public int Count(int most)
    {
        var count = Unsigned();
        return count <= (ulong)most ? (int)count : throw new InvalidDataException($"a block of the log holds {count} of something; {most} is the most");
    }

    public ReadOnlySpan<byte> Bytes()
    {
        var length = Count(_left.Length);
        var bytes = _left[..length];
        _left = _left[length..];
        return bytes;
    }
}
