using Evenwater.Core;
using Evenwater.Log.Blocks;

namespace Evenwater.Log.Summaries;

/// <summary>Buckets of one row into columns of small whole numbers, and back. Values keep a fixed resolution, well below any probe's.</summary>
internal static class SummaryCodec
{
    /// <summary>Means are kept finer than single values.</summary>
    private const double MeanFiner = 16;

    /// <summary>Steps in one unit of the channel (µS/cm, °C, drops, kg, mm, lx, or 0 to 1). Common practice, no source: a tenth of what the best probe of its kind can tell.</summary>
    public static double Steps(Channel channel) => channel switch
    {
        Channel.VesselConductivity or Channel.TankConductivity or Channel.Level => 100,
        Channel.VesselTemperature or Channel.TankTemperature => 1000,
        Channel.Mass => 10_000,
        Channel.Drops => 100,
        Channel.TankLight => 10,
        _ => 1,
    };

    /// <param name="channel">Whose.</param>
    /// <param name="grain">How coarse.</param>
    /// <param name="buckets">At most <see cref="Grains.RowBuckets"/>, in order, all of the row.</param>
    public static byte[] Encode(Channel channel, Grain grain, IReadOnlyCollection<Bucket> buckets)
    {
        var (steps, length) = (Steps(channel), Grains.LengthMs(grain));
        var writer = new VarintWriter();
        writer.Unsigned((ulong)buckets.Count);
        var index = -1L;
        foreach (var bucket in buckets)
        {
            var next = bucket.StartMs % Grains.RowMs(grain) / length;
            writer.Unsigned((ulong)(next - index));
            index = next;
        }

        Column(writer, buckets, b => b.Count);
        Column(writer, buckets, b => Whole(b.Mean * steps * MeanFiner));
        foreach (var of in new Func<Bucket, double>[] { b => b.Min, b => b.Max, b => b.Last })
        {
            // From the mean as it will be read back.
            Column(writer, buckets, b => Whole(of(b) * steps) - Whole(Whole(b.Mean * steps * MeanFiner) / (steps * MeanFiner) * steps));
        }

        return Packing.Pack(writer.Written, BlockCodec.Small);
    }

    /// <exception cref="InvalidDataException">It is damaged.</exception>
    public static Bucket[] Decode(Channel channel, Grain grain, long rowStartMs, ReadOnlySpan<byte> columns)
    {
        var (steps, length) = (Steps(channel), Grains.LengthMs(grain));
        var reader = new VarintReader(Packing.Unpack(columns));
        var starts = new long[reader.Count(Grains.RowBuckets)];
        var index = -1L;
        for (var i = 0; i < starts.Length; i++)
        {
            index += (long)reader.Unsigned();
            starts[i] = rowStartMs + (index * length);
        }

        var count = Column(ref reader, starts.Length);
        var mean = Column(ref reader, starts.Length);
        var (min, max, last) = (Column(ref reader, starts.Length), Column(ref reader, starts.Length), Column(ref reader, starts.Length));
        var buckets = new Bucket[starts.Length];
        for (var i = 0; i < buckets.Length; i++)
        {
            var middle = mean[i] / (steps * MeanFiner);
            var whole = Whole(middle * steps);
            buckets[i] = new Bucket(starts[i], count[i], (whole + min[i]) / steps, middle, (whole + max[i]) / steps, (whole + last[i]) / steps);
        }

        return buckets;
    }

    private static void Column(VarintWriter writer, IEnumerable<Bucket> buckets, Func<Bucket, long> of)
    {
        var last = 0L;
        foreach (var bucket in buckets)
        {
            var value = of(bucket);
            writer.Signed(value - last);
            last = value;
        }
    }

    private static long[] Column(ref VarintReader reader, int count)
    {
        var values = new long[count];
        var last = 0L;
        for (var i = 0; i < count; i++)
        {
            last += reader.Signed();
            values[i] = last;
        }

        return values;
    }

    private static long Whole(double value) => (long)Math.Round(value);
}
