using Evenwater.Core;

namespace Evenwater.Log.Blocks;

/// <summary>One channel of a block: its reasons, its ages, its codes. A channel that is not fitted costs two bytes.</summary>
internal static class ChannelColumn
{
    private const long Microsecond = 1000;

    /// <returns>How many readings there are.</returns>
    public static int Write(VarintWriter writer, IReadOnlyList<Entry> cycles, int channel)
    {
        Runs.Write(writer, cycles.Count, i => (int)Sample(cycles[i], channel).Reason);
        var fitted = new List<(long AgeNs, long Code)>(cycles.Count);
        foreach (var cycle in cycles)
        {
            var sample = Sample(cycle, channel);
            if (sample.Reason != Reason.NotFitted)
            {
                fitted.Add((cycle.At.Nanoseconds - sample.TakenAt.Nanoseconds, sample.Code));
            }
        }

        if (fitted.Count == 0)
        {
            return 0;
        }

        var unit = fitted.TrueForAll(f => f.AgeNs % (1000 * Microsecond) == 0) ? 1000 * Microsecond : 1;
        writer.Unsigned((ulong)unit);
        var before = (AgeNs: 0L, Code: 0L);
        foreach (var one in fitted)
        {
            writer.Signed((one.AgeNs - before.AgeNs) / unit);
            before = one;
        }

        // White noise is shortest about a middle, what wanders is shortest as steps.
        var middle = fitted[fitted.Count / 2].Code;
        var steps = Bits(fitted, (code, last) => code - last) < Bits(fitted, (code, _) => code - middle);
        writer.Unsigned(steps ? 1UL : 0UL);
        if (!steps)
        {
            writer.Signed(middle);
        }

        var last = 0L;
        foreach (var (_, code) in fitted)
        {
            writer.Signed(code - (steps ? last : middle));
            last = code;
        }

        return fitted.Count;
    }

    public static void Read(ref VarintReader reader, RawSamples[] into, long[] at, int channel)
    {
        var reasons = Runs.Read(ref reader, into.Length);
        var fitted = reasons.Count(r => r != (int)Reason.NotFitted);
        for (var i = 0; i < into.Length; i++)
        {
            into[i][channel] = RawSample.Missing(Reason.NotFitted, default);
        }

        if (fitted == 0)
        {
            return;
        }

        var unit = (long)reader.Unsigned();
        var age = 0L;
        for (var i = 0; i < into.Length; i++)
        {
            if (reasons[i] != (int)Reason.NotFitted)
            {
                age += reader.Signed() * unit;
                into[i][channel] = new RawSample(0, Known(reasons[i]), new MonotonicTime(at[i] - age));
            }
        }

        var steps = reader.Unsigned() == 1;
        var code = steps ? 0 : reader.Signed();
        for (var i = 0; i < into.Length; i++)
        {
            if (reasons[i] != (int)Reason.NotFitted)
            {
                var value = code + reader.Signed();
                into[i][channel] = into[i][channel] with { Code = checked((int)value) };
                code = steps ? value : code;
            }
        }
    }

    private static Reason Known(int reason) =>
        reason <= byte.MaxValue ? (Reason)reason : throw new InvalidDataException($"a block of the log names the reason {reason}, which does not exist");

    private static RawSample Sample(Entry cycle, int channel) =>
        cycle.Samples is { } samples ? samples[channel] : RawSample.Missing(Reason.NotFitted, default);

    /// <summary>About how many bits the differences take.</summary>
    private static double Bits(List<(long AgeNs, long Code)> fitted, Func<long, long, long> difference)
    {
        var (sum, last) = (0.0, fitted[0].Code);
        foreach (var (_, code) in fitted)
        {
            sum += Math.Log2(1 + Math.Abs((double)difference(code, last)));
            last = code;
        }

        return sum;
    }
}
