using System.IO.Compression;
using Evenwater.Core;
using Evenwater.Log;
using Evenwater.Log.Blocks;

namespace Evenwater.Tests.Log;

public sealed class BlockCodecTests
{
    private static readonly string?[] Bodies = [null, "{\"valveOpen\":true}", "{\"valveOpen\":false}", "{\"valveOpen\":true,\"command\":\"close\"}"];

    /// <summary>Anything that a driver, a clock and a station could give, and more.</summary>
    private static List<Entry> Cycles(Random random, int count)
    {
        var (id, at, wall) = (random.NextInt64(1, 1L << 40), random.NextInt64(1L << 50), random.Next(3) == 0 ? (long?)null : random.NextInt64(1L << 41));
        var grain = random.Next(3) switch { 0 => 1, 1 => 1000, _ => 1_000_000 };
        var fitted = random.Next(1 << Channels.Count);
        var wild = random.Next(4) == 0;
        var cycles = new List<Entry>();
        for (var i = 0; i < count; i++)
        {
            var samples = RawSamples.None();
            for (var channel = 0; channel < Channels.Count; channel++)
            {
                var missing = (Reason)random.Next(0, random.Next(8) == 0 ? 4 : 1);
                if ((fitted >> channel & 1) == 1 && missing != Reason.NotFitted)
                {
                    var code = wild ? random.Next(2) == 0 ? int.MinValue : int.MaxValue : 12_000 + (int)(random.NextDouble() * 9) + (i / 7 * channel);
                    samples[channel] = new RawSample(code, missing, new MonotonicTime(at - (random.NextInt64(3_000) * grain)));
                }
            }

            cycles.Add(new Entry
            {
                Id = id,
                BootId = 3,
                ConfigurationId = 4,
                Station = "sim-river",
                RunId = 9,
                At = new MonotonicTime(at),
                Wall = wall is { } ms ? DateTimeOffset.FromUnixTimeMilliseconds(ms) : null,
                ClockQuality = ClockQuality.Synced,
                Kind = EntryKind.Cycle,
                Body = Bodies[random.Next(random.Next(10) == 0 ? Bodies.Length : 1)],
                Samples = samples,
            });
            id += random.Next(1, 5);
            at += random.NextInt64(1, 4_000) * grain;

            // The wall clock may be set, back as well.
            wall += random.Next(50) == 0 ? random.Next(-5_000_000, 5_000_000) : 1000;
        }

        return cycles;
    }

    [Fact]
    public void What_is_packed_is_unpacked_equal_whatever_it_was()
    {
        for (var seed = 0; seed < 300; seed++)
        {
            var random = new Random(seed);
            var cycles = Cycles(random, random.Next(3) == 0 ? 1 : random.Next(1, seed % 50 == 0 ? BlockRow.MostCycles + 1 : 200));
            var row = BlockCodec.Encode(cycles, seed % 2 == 0 ? BlockCodec.Quick : BlockCodec.Small);
            var back = BlockCodec.Decode(row, "sim-river");
            Assert.Equal(cycles.Count, row.Count);
            Assert.Equal(cycles.Sum(c => Enumerable.Range(0, Channels.Count).Count(i => c.Samples!.Value[i].Reason != Reason.NotFitted)), row.Readings);
            Same(cycles, back);
        }
    }

    [Fact] // a channel that is fitted in no cycle of a short block is two bytes at its end
    public void A_block_from_before_a_channel_was_added_is_read_and_one_that_was_cut_is_not()
    {
        var cycles = Cycles(new Random(5), 20);
        foreach (ref var cycle in System.Runtime.InteropServices.CollectionsMarshal.AsSpan(cycles))
        {
            var samples = cycle.Samples!.Value;
            samples[Channel.TankLight] = RawSample.Missing(Reason.NotFitted, default);
            samples[Channel.Level] = RawSample.Missing(Reason.NotFitted, default);
            cycle = cycle with { Samples = samples };
        }

        var row = BlockCodec.Encode(cycles, BlockCodec.Small);
        var columns = Packing.Unpack(row.Columns);
        Same(cycles, BlockCodec.Decode(row with { Columns = Packing.Pack(columns.AsSpan()[..^2], BlockCodec.Small) }, "sim-river"));
        foreach (var cut in new[] { 3, 4 }) // within a column of the first ten, and one of them whole
        {
            Assert.Throws<InvalidDataException>(() => BlockCodec.Decode(row with { Columns = Packing.Pack(columns.AsSpan()[..^cut], BlockCodec.Small) }, "sim-river"));
        }
    }

    /// <summary>All that an entry has, for readers that gave it back.</summary>
    internal static void Same(IReadOnlyList<Entry> expected, IReadOnlyList<Entry> actual)
    {
        Assert.Equal(expected.Count, actual.Count);
        for (var i = 0; i < expected.Count; i++)
        {
            var (a, b) = (expected[i], actual[i]);
            Assert.Equal(
                (a.Id, a.BootId, a.ConfigurationId, a.Station, a.RunId, a.At, a.Wall?.ToUnixTimeMilliseconds(), a.ClockQuality, a.Kind, a.Body),
                (b.Id, b.BootId, b.ConfigurationId, b.Station, b.RunId, b.At, b.Wall?.ToUnixTimeMilliseconds(), b.ClockQuality, b.Kind, b.Body));
            for (var channel = 0; a.Samples is { } samples && channel < Channels.Count; channel++)
            {
                Assert.Equal(samples[channel], b.Samples!.Value[channel]);
            }
        }
    }

    [Fact]
    public void Whatever_bit_is_damaged_it_is_told_or_changes_nothing()
    {
        var cycles = Cycles(new Random(8), 40);
        var row = BlockCodec.Encode(cycles, BlockCodec.Small);
        var told = 0;
        for (var bit = 0; bit < 8 * row.Columns.Length; bit++)
        {
            var bytes = (byte[])row.Columns.Clone();
            bytes[bit / 8] ^= (byte)(1 << (bit % 8));
            try
            {
                Same(cycles, BlockCodec.Decode(row with { Columns = bytes }, "sim-river")); // Brotli fills its last byte with bits of no meaning
            }
            catch (InvalidDataException)
            {
                told++;
            }
        }

        Assert.InRange(told, (8 * row.Columns.Length) - 8, 8 * row.Columns.Length);

        Assert.Throws<InvalidDataException>(() => BlockCodec.Decode(row with { Columns = row.Columns[..^1] }, "sim-river"));
        Assert.Throws<InvalidDataException>(() => BlockCodec.Decode(row with { Columns = [] }, "sim-river"));
        Assert.Throws<InvalidDataException>(() => BlockCodec.Decode(row with { Count = row.Count - 1 }, "sim-river"));
        Assert.Throws<InvalidDataException>(() => BlockCodec.Decode(row with { Count = 0 }, "sim-river"));
        Assert.Throws<InvalidDataException>(() => BlockCodec.Decode(row with { Count = int.MaxValue }, "sim-river"));
    }

    /// <summary>RFC 3720, appendix B.4, CRC examples: 32 bytes of nought, of ones, counting up and counting down. There the lowest byte comes first.</summary>
    [Theory]
    [InlineData(0x00, 0, "AA36918A")]
    [InlineData(0xFF, 0, "43ABA862")]
    [InlineData(0x00, 1, "4E79DD46")]
    [InlineData(0x1F, -1, "5CDB3F11")]
    public void The_check_sum_is_the_standards(byte first, int step, string hex) =>
        Assert.Equal(hex, Convert.ToHexString(BitConverter.GetBytes(Packing.Sum([.. Enumerable.Range(0, 32).Select(i => (byte)(first + (i * step)))]))));

    [Fact]
    public void What_was_packed_before_there_was_a_check_sum_is_read()
    {
        byte[] bytes = [.. Enumerable.Range(0, 500).Select(i => (byte)(i / 9))];
        var small = new byte[500];
        Assert.True(BrotliEncoder.TryCompress(bytes, small, out var written, 9, 16));
        Assert.Equal(bytes, Packing.Unpack([0, .. bytes]));
        Assert.Equal(bytes, Packing.Unpack([1, .. BitConverter.GetBytes(bytes.Length), .. small[..written]]));
        foreach (byte[] odd in new byte[][] { [], [1], [1, 0xFF, 0xFF, 0xFF, 0xFF], [2, 0, 0, 0, 0, 0], [0x5A, 0, 0, 0], [0xA5, 0, 0, 0, 0, 0, 0] })
        {
            Assert.Throws<InvalidDataException>(() => Packing.Unpack(odd));
        }
    }

    /// <summary>DWARF 5, section 7.6, tables 7.7 and appendix C: examples of unsigned LEB128.</summary>
    [Theory]
    [InlineData(2, "02")]
    [InlineData(127, "7F")]
    [InlineData(128, "8001")]
    [InlineData(129, "8101")]
    [InlineData(12857, "B964")]
    public void Whole_numbers_take_the_bytes_that_the_standard_shows(ulong number, string hex)
    {
        var writer = new VarintWriter();
        writer.Unsigned(number);
        Assert.Equal(hex, Convert.ToHexString(writer.Written));
        Assert.Equal(number, new VarintReader(writer.Written).Unsigned());
    }

    [Fact]
    public void Signed_numbers_come_back_to_the_last_bit()
    {
        foreach (var number in new[] { 0, 1, -1, 63, -64, long.MaxValue, long.MinValue })
        {
            var writer = new VarintWriter();
            writer.Signed(number);
            Assert.Equal(number, new VarintReader(writer.Written).Signed());
        }
    }
}
