using System.Diagnostics;
using System.IO.Compression;
using System.Runtime.InteropServices;
using Evenwater.Core;
using Evenwater.Log;
using Evenwater.Log.Blocks;
using Parquet;
using Parquet.Schema;

namespace Evenwater.Tests.Store;

/// <summary>
/// The same hours packed in other ways, to see whether a simpler one would do: the plain columns through the stock compressor alone, and Parquet (Parquet.Net, the best
/// of its encodings, with the same compressor). Both are spared what a block keeps besides: when each channel was read, and why one was not. A batch of 5 s, too: what is committed every few seconds must be small as well.
/// </summary>
public sealed class PackingWaysTests(ITestOutputHelper output)
{
    private const int Hours = 2;
    private const int Seconds = 3600;

    [Fact]
    public async Task An_hour_s_block_is_smaller_than_its_columns_compressed_and_than_parquet()
    {
        var year = new LifelikeYear(3);
        List<List<Entry>> hours = [.. Enumerable.Range(0, Hours).Select(hour => Hour(year, hour))];
        List<List<Entry>> batches = [.. Enumerable.Range(0, 100).Select(batch => hours[0].GetRange(5 * batch, 5))];
        var ownBatch = await EachAsync("5 s, own", batches, batch => Task.FromResult(BlockCodec.Encode(batch, BlockCodec.Quick).Columns.Length));
        var parquetBatch = await EachAsync("5 s, Parquet", batches, batch => ParquetAsync(batch, EncodingHint.DeltaBinaryPacked));
        var own = await EachAsync("own blocks (what the log keeps)", hours, hour => Task.FromResult(BlockCodec.Encode(hour, BlockCodec.Small).Columns.Length));
        var plain = await EachAsync("plain columns through Brotli", hours, hour => Task.FromResult(Brotli(hour)));
        var parquet = double.MaxValue;
        foreach (var hint in new[] { EncodingHint.Default, EncodingHint.DeltaBinaryPacked, EncodingHint.Dictionary })
        {
            parquet = Math.Min(parquet, await EachAsync($"Parquet, {hint}, Brotli", hours, hour => ParquetAsync(hour, hint)));
        }

        Assert.InRange(ownBatch, 0.1, parquetBatch / 3);
        Assert.InRange(own, 0.1, Math.Min(plain, parquet));
    }

    private static List<Entry> Hour(LifelikeYear year, int hour) =>
    [
        .. Enumerable.Range(1 + (hour * Seconds), Seconds).Select(second => new Entry
        {
            Id = second,
            BootId = 1,
            ConfigurationId = 1,
            Station = LifelikeYear.Station.Name,
            At = MonotonicTime.FromSeconds(second),
            Wall = LifelikeYear.Begin.AddSeconds(second),
            ClockQuality = ClockQuality.Synced,
            Kind = EntryKind.Cycle,
            Body = "{\"valveOpen\":false}",
            Samples = year.At(second),
        }),
    ];

    private async Task<double> EachAsync(string name, List<List<Entry>> hours, Func<List<Entry>, Task<int>> pack)
    {
        var bytes = 0L;
        var watch = Stopwatch.StartNew();
        foreach (var hour in hours)
        {
            bytes += await pack(hour);
        }

        var each = (double)bytes / (hours.Count * hours[0].Count * LifelikeYear.ChannelsFitted);
        output.WriteLine($"{name}: {each:0.000} bytes a reading, {watch.Elapsed.TotalMilliseconds / hours.Count:0.0} ms each");
        return each;
    }

    private static int[] Column(List<Entry> hour, Channel channel) => [.. hour.Select(e => e.Samples!.Value[channel].Code)];

    private static long[] Monotonic(List<Entry> hour) => [.. hour.Select(e => e.At.Nanoseconds)];

    private static long[] Walls(List<Entry> hour) => [.. hour.Select(e => e.Wall!.Value.ToUnixTimeMilliseconds())];

    private static int Brotli(List<Entry> hour)
    {
        using var packed = new MemoryStream();
        using (var brotli = new BrotliStream(packed, CompressionLevel.SmallestSize, leaveOpen: true))
        {
            brotli.Write(MemoryMarshal.AsBytes<long>(Monotonic(hour)));
            brotli.Write(MemoryMarshal.AsBytes<long>(Walls(hour)));
            foreach (var channel in LifelikeYear.Given)
            {
                brotli.Write(MemoryMarshal.AsBytes<int>(Column(hour, channel)));
            }
        }

        return (int)packed.Length;
    }

    private static async Task<int> ParquetAsync(List<Entry> hour, EncodingHint hint)
    {
        DataField<long>[] times = [new("mono_ns"), new("wall_ms")];
        DataField<int>[] channels = [.. LifelikeYear.Given.Select(c => new DataField<int>(c.ToString()))];
        var options = new ParquetOptions { CompressionMethod = CompressionMethod.Brotli, CompressionLevel = CompressionLevel.SmallestSize };
        foreach (var name in times.Select(f => f.Name).Concat(channels.Select(f => f.Name)))
        {
            options.ColumnEncodingHints[name] = hint;
        }

        using var packed = new MemoryStream();
        await using (var writer = await ParquetWriter.CreateAsync(new ParquetSchema([.. times, .. channels]), packed, options))
        {
            using var group = writer.CreateRowGroup();
            await group.WriteAsync<long>(times[0], Monotonic(hour));
            await group.WriteAsync<long>(times[1], Walls(hour));
            foreach (var (field, channel) in channels.Zip(LifelikeYear.Given))
            {
                await group.WriteAsync<int>(field, Column(hour, channel));
            }
        }

        return (int)packed.Length;
    }
}
