using Evenwater.Core.Standing;

namespace Evenwater.Core.Charting;

/// <summary>A line in figures, in the channel's unit.</summary>
/// <param name="Min">The lowest reading.</param>
/// <param name="MinAt">The stretch it was in.</param>
/// <param name="Median">The middle of the stretches' means.</param>
/// <param name="Max">The highest reading.</param>
/// <param name="MaxAt">The stretch it was in.</param>
/// <param name="First">Mean of the first stretch that was read.</param>
/// <param name="Last">The last reading.</param>
/// <param name="LastAt">Where the stretch begins that it was in.</param>
/// <param name="Trend">How fast it rose or fell; null when the stretches are worth too few to say.</param>
/// <param name="Gaps">How many gaps there are.</param>
/// <param name="Missing">How long they are together.</param>
public sealed record LineSummary(
    double Min, DateTimeOffset MinAt, double Median, double Max, DateTimeOffset MaxAt,
    double First, double Last, DateTimeOffset LastAt, Trend? Trend, int Gaps, TimeSpan Missing)
{
    /// <summary>Of a line; null when nothing was read.</summary>
    public static LineSummary? Of(ChartLine line)
    {
        (int Place, Bin Bin)[] read = [.. line.Bins.Select((bin, place) => (place, bin)).Where(one => one.bin is not null).Select(one => (one.place, one.bin!.Value))];
        if (read.Length == 0) return null;
        var lowest = read.MinBy(one => one.Bin.Min);
        var highest = read.MaxBy(one => one.Bin.Max);
        var missing = TimeSpan.FromTicks(line.Gaps.Sum(gap => gap.Length.Ticks));
        return new(
            lowest.Bin.Min, line.Axis.At(lowest.Place), Spread.Median(read.Select(one => one.Bin.Mean)), highest.Bin.Max, line.Axis.At(highest.Place),
            read[0].Bin.Mean, read[^1].Bin.Last, line.Axis.At(read[^1].Place), Charting.Trend.Of(line), line.Gaps.Count, missing);
    }
}
