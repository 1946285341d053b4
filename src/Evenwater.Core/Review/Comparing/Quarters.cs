using Evenwater.Core.Standing;

namespace Evenwater.Core.Review.Comparing;

/// <summary>A channel by quarters of an hour, as it was measured: medians, in its own unit; null where nothing was read.</summary>
/// <param name="Channel">Which.</param>
/// <param name="Start">Where the first begins: a full quarter.</param>
/// <param name="Seen">One after the other.</param>
public sealed record Quarters(Channel Channel, DateTimeOffset Start, IReadOnlyList<double?> Seen)
{
    /// <summary>Quarters of a day.</summary>
    public const int PerDay = 96;

    private static readonly TimeSpan One = TimeSpan.FromDays(1) / PerDay;

    /// <summary>Where the last ends.</summary>
    public DateTimeOffset End => At(Seen.Count);

    /// <summary>When a quarter begins.</summary>
    public DateTimeOffset At(int quarter) => Start + (quarter * One);

    /// <summary>The quarter of an instant; may lie outside.</summary>
    public int Of(DateTimeOffset at) => (int)Math.Floor((at - Start) / One);

    /// <summary>The quarters of a span.</summary>
    /// <param name="channel">Which channel.</param>
    /// <param name="stretches">A quarter of an hour long at the most, in order of time.</param>
    /// <param name="from">Where they begin.</param>
    /// <param name="to">Where they end.</param>
    public static Quarters Of(Channel channel, IEnumerable<Stretch> stretches, DateTimeOffset from, DateTimeOffset to)
    {
        var start = new DateTimeOffset(from.UtcTicks - (from.UtcTicks % One.Ticks), TimeSpan.Zero);
        var seen = new double?[Math.Max(0, (int)((to - start) / One))];
        foreach (var quarter in stretches.GroupBy(stretch => (int)Math.Floor((stretch.Middle - start) / One)))
        {
            if (quarter.Key >= 0 && quarter.Key < seen.Length) seen[quarter.Key] = Spread.Median(quarter.Select(stretch => stretch.Mean));
        }

        return new(channel, start, seen);
    }
}
