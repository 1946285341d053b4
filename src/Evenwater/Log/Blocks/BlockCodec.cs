using System.Text;
using Evenwater.Core;

namespace Evenwater.Log.Blocks;

/// <summary>
/// Cycles into columns of small numbers, and back without loss. A column holds one thing of all cycles: their numbers, times, bodies, and of each channel
/// its reasons, ages and codes. Neighbours are much alike, so differences are stored, and what does not change is stored once with how often.
/// </summary>
internal static class BlockCodec
{
    private const long NanosecondsPerMillisecond = 1_000_000;

    /// <summary>For a batch that is written every few seconds, and packed again later.</summary>
    public const int Quick = 4;

    /// <summary>For an hour of cycles.</summary>
    public const int Small = 9;

    /// <summary>Channels that there were at first: a block from then ends after theirs, and of what was added since nothing was fitted.</summary>
    private const int FirstChannels = 10;

    /// <param name="cycles">1 to <see cref="BlockRow.MostCycles"/> cycles, alike (<see cref="BlockRow.Alike"/>), in order.</param>
    /// <param name="quality"><see cref="Quick"/> or <see cref="Small"/>.</param>
    public static BlockRow Encode(IReadOnlyList<Entry> cycles, int quality)
    {
        var (first, last) = (cycles[0], cycles[^1]);
        var writer = new VarintWriter();
        for (var i = 1; i < cycles.Count; i++)
        {
            writer.Unsigned((ulong)(cycles[i].Id - cycles[i - 1].Id));
        }

        Times(writer, cycles);
        Bodies(writer, cycles);
        var readings = 0L;
        for (var channel = 0; channel < Channels.Count; channel++)
        {
            readings += ChannelColumn.Write(writer, cycles, channel);
        }

        return new BlockRow(
            first.Id, last.Id, cycles.Count, readings, first.BootId, first.ConfigurationId, first.RunId, first.ClockQuality, first.At, last.At,
            first.Wall?.ToUnixTimeMilliseconds(), last.Wall?.ToUnixTimeMilliseconds(), Packing.Pack(writer.Written, quality));
    }

    /// <param name="row">The block.</param>
    /// <param name="station">The station's name.</param>
    /// <exception cref="InvalidDataException">It is damaged.</exception>
    public static Entry[] Decode(BlockRow row, string station)
    {
        try
        {
            return Cycles(row, station);
        }
        catch (Exception e) when (e is OverflowException or ArgumentException or IndexOutOfRangeException)
        {
            throw new InvalidDataException($"the block {row.FirstId} of the log is damaged: {e.Message}", e);
        }
    }

    private static Entry[] Cycles(BlockRow row, string station)
    {
        var reader = new VarintReader(Packing.Unpack(row.Columns));
        var count = row.Count is > 0 and <= BlockRow.MostCycles
            ? row.Count
            : throw new InvalidDataException($"the block {row.FirstId} of the log says that it holds {row.Count} cycles; 1 to {BlockRow.MostCycles} is possible");
        var ids = new long[count];
        ids[0] = row.FirstId;
        for (var i = 1; i < count; i++)
        {
            ids[i] = ids[i - 1] + (long)reader.Unsigned();
        }

        var (at, wallMs) = Times(ref reader, row);
        var bodies = Bodies(ref reader, count);
        var samples = new RawSamples[count];
        Array.Fill(samples, RawSamples.None());
        for (var channel = 0; channel < Channels.Count && !(channel >= FirstChannels && reader.AtEnd); channel++)
        {
            ChannelColumn.Read(ref reader, samples, at, channel);
        }

        if (!reader.AtEnd || ids[^1] != row.LastId || at[^1] != row.LastAt.Nanoseconds || !Enum.IsDefined(row.ClockQuality) || !Agree(wallMs, row.LastWallMs))
        {
            throw new InvalidDataException($"the block {row.FirstId} of the log is damaged: its columns and its row do not agree");
        }

        var cycles = new Entry[count];
        for (var i = 0; i < count; i++)
        {
            cycles[i] = new Entry
            {
                Id = ids[i],
                BootId = row.BootId,
                ConfigurationId = row.ConfigurationId,
                Station = station,
                RunId = row.RunId,
                At = new MonotonicTime(at[i]),
                Wall = wallMs is null ? null : DateTimeOffset.FromUnixTimeMilliseconds(wallMs[i]),
                ClockQuality = row.ClockQuality,
                Kind = EntryKind.Cycle,
                Body = bodies[i],
                Samples = samples[i],
            };
        }

        return cycles;
    }

    /// <summary>How far the steps of the monotonic clock change; and of the wall clock, how far it is from where the monotonic one would have it.</summary>
    private static void Times(VarintWriter writer, IReadOnlyList<Entry> cycles)
    {
        var first = cycles[0];
        var unit = Unit(cycles);
        writer.Unsigned((ulong)unit);
        var step = 0L;
        for (var i = 1; i < cycles.Count; i++)
        {
            var next = (cycles[i].At.Nanoseconds - cycles[i - 1].At.Nanoseconds) / unit;
            writer.Signed(next - step);
            step = next;
        }

        writer.Unsigned(first.Wall is null ? 0UL : 1UL);
        if (first.Wall is not { } wall)
        {
            return;
        }

        var off = 0L;
        for (var i = 1; i < cycles.Count; i++)
        {
            var next = cycles[i].Wall!.Value.ToUnixTimeMilliseconds() - Straight(wall.ToUnixTimeMilliseconds(), first.At.Nanoseconds, cycles[i].At.Nanoseconds);
            writer.Signed(next - off);
            off = next;
        }
    }

    private static (long[] At, long[]? WallMs) Times(ref VarintReader reader, BlockRow row)
    {
        var at = new long[row.Count];
        at[0] = row.FirstAt.Nanoseconds;
        var unit = (long)reader.Unsigned();
        var step = 0L;
        for (var i = 1; i < at.Length; i++)
        {
            step += reader.Signed();
            at[i] = at[i - 1] + (step * unit);
        }

        var kept = reader.Unsigned() == 1;
        if (row.FirstWallMs is not { } first)
        {
            return (at, null);
        }

        // Wall times that were filled in afterwards are not kept: they follow the monotonic clock.
        var wall = new long[row.Count];
        wall[0] = first;
        var off = 0L;
        for (var i = 1; i < wall.Length; i++)
        {
            off += kept ? reader.Signed() : 0;
            wall[i] = Straight(first, at[0], at[i]) + off;
        }

        return (at, wall);
    }

    /// <summary>Whether all are times and the last one is the row's; of dates that were filled in, both ends were reckoned by themselves, and each lost up to a millisecond.</summary>
    private static bool Agree(long[]? wallMs, long? lastWallMs) =>
        wallMs is null || (Math.Abs(wallMs[^1] - (lastWallMs ?? long.MaxValue)) <= 2 && Array.TrueForAll(wallMs, ms => WallTime.Of(ms) is not null));

    private static long Straight(long firstWallMs, long firstNs, long ns) => firstWallMs + ((ns - firstNs) / NanosecondsPerMillisecond);

    /// <summary>The coarsest of ms, µs and ns that all steps are whole in.</summary>
    private static long Unit(IReadOnlyList<Entry> cycles)
    {
        var unit = NanosecondsPerMillisecond;
        for (var i = 1; i < cycles.Count && unit > 1; i++)
        {
            while ((cycles[i].At.Nanoseconds - cycles[i - 1].At.Nanoseconds) % unit != 0)
            {
                unit /= 1000;
            }
        }

        return unit;
    }

    /// <summary>Each different body once; then which, and how often in a row.</summary>
    private static void Bodies(VarintWriter writer, IReadOnlyList<Entry> cycles)
    {
        var known = cycles.Select(c => c.Body ?? "").Distinct().ToList();
        writer.Unsigned((ulong)known.Count);
        foreach (var body in known)
        {
            writer.Bytes(Encoding.UTF8.GetBytes(body));
        }

        Runs.Write(writer, cycles.Count, i => known.IndexOf(cycles[i].Body ?? ""));
    }

    private static string?[] Bodies(ref VarintReader reader, int count)
    {
        var known = new string?[reader.Count(count)];
        for (var i = 0; i < known.Length; i++)
        {
            var text = Encoding.UTF8.GetString(reader.Bytes());
            known[i] = text.Length == 0 ? null : text;
        }

        var which = Runs.Read(ref reader, count);
        return Array.ConvertAll(which, i => i < known.Length ? known[i] : throw new InvalidDataException("a block of the log names a body that it does not hold"));
    }
}
