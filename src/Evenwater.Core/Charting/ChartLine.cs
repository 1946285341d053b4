namespace Evenwater.Core.Charting;

/// <summary>A stretch of time in which a channel should have been read and was not.</summary>
/// <param name="From">Where it begins.</param>
/// <param name="To">Where it ends.</param>
public readonly record struct Gap(DateTimeOffset From, DateTimeOffset To)
{
    /// <summary>How long it is.</summary>
    public TimeSpan Length => To - From;
}

/// <summary>
/// A channel on an axis of time, thinned to a bin for each stretch of it. A stretch without a reading has no bin; which of them are gaps is told beside it, because
/// where stretches are shorter than the time between two readings most are empty and nothing is missing.
/// </summary>
public sealed class ChartLine
{
    /// <summary>
    /// With fewer readings in a stretch than this, some stay empty by the beat of two rhythms alone: readings that come every T fall into stretches of T or more one
    /// by one at least, so from two on none stays empty; a third for readings that come late.
    /// </summary>
    private const int FewReadings = 3;

    /// <summary>So many times the usual distance is still no gap, where readings are few: one that is missed, and one that is late. Judged.</summary>
    private const int UsualDistances = 3;

    private readonly Bin?[] _bins;

    private readonly TimeSpan _waits;

    private ChartLine(TimeAxis axis, DateTimeOffset until, Bin?[] bins, TimeSpan waits)
    {
        (Axis, Until, _bins, _waits) = (axis, until < axis.To ? until : axis.To, bins, waits);
        Gaps = [.. GapsOf(axis, Until, bins, until - waits)];
    }

    /// <summary>The axis.</summary>
    public TimeAxis Axis { get; }

    /// <summary>Where readings could end at the latest: now, or where the axis ends.</summary>
    public DateTimeOffset Until { get; }

    /// <summary>A bin for each stretch of the axis; null where nothing was read.</summary>
    public IReadOnlyList<Bin?> Bins => _bins;

    /// <summary>In order of time.</summary>
    public IReadOnlyList<Gap> Gaps { get; }

    /// <summary>Whether anything was read.</summary>
    public bool HasReadings => LastPlace is not null;

    /// <summary>The last stretch that was read; null when none was.</summary>
    public int? LastPlace => Array.FindLastIndex(_bins, bin => bin is not null) is >= 0 and var place ? place : null;

    /// <summary>Puts bins onto an axis, those of one stretch together. What lies outside is left out; a bin belongs to where it begins.</summary>
    /// <param name="axis">The axis.</param>
    /// <param name="until">Where the readings could end at the latest, such as now: after it nothing is missing.</param>
    /// <param name="bins">In order of time.</param>
    /// <param name="waits">So long before that end a reading may still be on its way: until then nothing is missing behind the last.</param>
    public static ChartLine Of(TimeAxis axis, DateTimeOffset until, IEnumerable<(DateTimeOffset From, Bin Bin)> bins, TimeSpan waits = default)
    {
        var placed = new Bin?[axis.Count];
        foreach (var (from, bin) in bins)
        {
            if (axis.PlaceOf(from) is { } place) placed[place] = placed[place] is { } known ? known.And(bin) : bin;
        }

        return new(axis, until, placed, waits);
    }

    /// <summary>The same in so many stretches at the most, each as many of these together.</summary>
    /// <param name="most">1 or more.</param>
    public ChartLine Thinned(int most)
    {
        var each = (Axis.Count + most - 1) / most;
        if (each <= 1) return this;
        var axis = new TimeAxis(Axis.From, each * Axis.Step, (Axis.Count + each - 1) / each);
        return Of(axis, Until, Enumerable.Range(0, _bins.Length).Where(i => _bins[i] is not null).Select(i => (Axis.At(i), _bins[i]!.Value)), _waits);
    }

    private static IEnumerable<Gap> GapsOf(TimeAxis axis, DateTimeOffset end, Bin?[] bins, DateTimeOffset arrived)
    {
        int[] filled = [.. Enumerable.Range(0, bins.Length).Where(i => bins[i] is not null)];
        if (end <= axis.From) yield break;
        if (filled.Length == 0)
        {
            yield return new(axis.From, end);
            yield break;
        }

        var allowed = Allowed(bins, filled);
        if (filled[0] > allowed - 1) yield return new(axis.From, axis.At(filled[0]));
        for (var i = 1; i < filled.Length; i++)
        {
            if (filled[i] - filled[i - 1] > allowed) yield return new(axis.At(filled[i - 1] + 1), axis.At(filled[i]));
        }

        // The stretch that is not over yet may still be read.
        if (end - axis.At(filled[^1] + 1) >= allowed * axis.Step && arrived > axis.At(filled[^1] + 1)) yield return new(axis.At(filled[^1] + 1), end);
    }

    /// <summary>How many stretches from one that was read to the next are as usual.</summary>
    private static int Allowed(Bin?[] bins, int[] filled)
    {
        if (filled.Length < 2) return 1;
        long[] counts = [.. filled.Select(i => bins[i]!.Value.Count).Order()];
        if (counts[counts.Length / 2] >= FewReadings) return 1;
        int[] distances = [.. filled.Zip(filled.Skip(1), (a, b) => b - a).Order()];
        return UsualDistances * distances[distances.Length / 2];
    }
}
