using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;

namespace Evenwater.Log.Summaries;

/// <summary>
/// Cycles into buckets: values by the calibration that was in force then, readings without a reason alone.
/// </summary>
/// <param name="startOf">Where the bucket begins that an instant lies in, both Unix milliseconds; null where it is not asked for.</param>
/// <param name="wanted">The channels that are asked for.</param>
internal sealed class Summing(Func<long, long?> startOf, IReadOnlyCollection<Channel> wanted)
{
    private readonly Dictionary<Channel, SortedList<long, Bucket>> _buckets = wanted.ToDictionary(c => c, _ => new SortedList<long, Bucket>());

    /// <summary>In order of time, of each channel.</summary>
    public IReadOnlyDictionary<Channel, SortedList<long, Bucket>> Buckets => _buckets;

    /// <summary>One more cycle; without a wall time it has no place.</summary>
    public void Add(Entry cycle, Sensors sensors)
    {
        if (cycle is not { Wall: { } wall, Samples: { } samples } || startOf(wall.ToUnixTimeMilliseconds()) is not { } start)
        {
            return;
        }

        var readings = Calibrate.Apply(samples, sensors);
        foreach (var (channel, buckets) in _buckets)
        {
            if (readings[channel].TryGet(out var value))
            {
                Merge(buckets, start, value);
            }
        }
    }

    /// <summary>A bucket that was summed before.</summary>
    public void Add(Channel channel, in Bucket bucket)
    {
        if (startOf(bucket.StartMs) is { } start)
        {
            var buckets = _buckets[channel];
            var moved = bucket with { StartMs = start };
            buckets[start] = buckets.TryGetValue(start, out var known) ? known.And(moved) : moved;
        }
    }

    private static void Merge(SortedList<long, Bucket> buckets, long start, double value)
    {
        // Nearly always the last one.
        if (buckets.Count > 0 && buckets.GetKeyAtIndex(buckets.Count - 1) == start)
        {
            buckets.SetValueAtIndex(buckets.Count - 1, buckets.GetValueAtIndex(buckets.Count - 1).And(value));
        }
        else
        {
            buckets[start] = buckets.TryGetValue(start, out var known) ? known.And(value) : Bucket.Of(start, value);
        }
    }
}
