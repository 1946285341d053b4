using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>
/// A channel on a grid of a quarter of an hour, thinned to medians, without what each quarter of the local day brings by itself: what is left is held against its
/// own restlessness at each span of time, so that neighbours which err alike are allowed for without a model of how.
/// </summary>
public sealed class Course
{
    /// <summary>Points a day: medians of a quarter of an hour. A chart of single minutes would call every few hours (run length 465, Montgomery and Runger).</summary>
    public const int PerDay = 96;

    private static readonly TimeSpan Quarter = TimeSpan.FromDays(1) / PerDay;

    private readonly double?[] _seen;
    private readonly double?[] _values;

    private Course(Channel channel, DateTimeOffset start, double?[] seen, double?[] values)
    {
        (Channel, Start, _seen, _values) = (channel, start, seen, values);
        Sds = [.. Spans.Select(Restlessness)];
    }

    /// <summary>The spans at which before is held against after, in points: a quarter of an hour to a day.</summary>
    public static IReadOnlyList<int> Spans { get; } = [1, 2, 4, 8, 16, 32, 96];

    /// <summary>Which channel.</summary>
    public Channel Channel { get; }

    /// <summary>Where the first point begins.</summary>
    public DateTimeOffset Start { get; }

    /// <summary>How many points.</summary>
    public int Count => _values.Length;

    /// <summary>What the channel is without its daily course: of conductivity 100 times its logarithm, so per cent; °C; lx. Null where nothing was measured.</summary>
    public IReadOnlyList<double?> Values => _values;

    /// <summary>The medians as they were measured, in the channel's unit.</summary>
    public IReadOnlyList<double?> Seen => _seen;

    /// <summary>For each of <see cref="Spans"/> the robust standard deviation of after less before.</summary>
    public IReadOnlyList<double> Sds { get; }

    /// <summary>Over how many points before is looked for a span after: longer, since what was is known better than what has just come.</summary>
    public static int Before(int span) => Math.Clamp(4 * span, 16, PerDay);

    /// <summary>When a point begins.</summary>
    public DateTimeOffset At(int point) => Start + (point * Quarter);

    /// <summary>The point of an instant; may lie outside.</summary>
    public int PointOf(DateTimeOffset at) => (int)Math.Floor((at - Start) / Quarter);

    /// <summary>The channel over a span.</summary>
    /// <param name="channel">Which.</param>
    /// <param name="stretches">A quarter of an hour long at the most, in order of time.</param>
    /// <param name="from">Where the grid begins.</param>
    /// <param name="to">Where it ends.</param>
    /// <param name="zone">The keeper's time zone.</param>
    public static Course Of(Channel channel, IEnumerable<Stretch> stretches, DateTimeOffset from, DateTimeOffset to, TimeZoneInfo zone)
    {
        var start = new DateTimeOffset(from.UtcTicks - (from.UtcTicks % Quarter.Ticks), TimeSpan.Zero);
        var seen = new double?[Math.Max(0, (int)((to - start) / Quarter))];
        var bin = new List<double>();
        var open = -1;
        foreach (var stretch in stretches)
        {
            var point = (int)Math.Floor((stretch.Middle - start) / Quarter);
            if (point != open) Close();
            open = point;
            bin.Add(stretch.Mean);
        }

        Close();
        var scaled = Array.ConvertAll(seen, value => value is { } known ? Scaled(channel, known) : (double?)null);
        return new(channel, start, seen, DailyCourse.Without(scaled, [.. Enumerable.Range(0, seen.Length).Select(i => Slot(start + (i * Quarter), zone))]));

        void Close()
        {
            if (bin.Count > 0 && open >= 0 && open < seen.Length) seen[open] = Spread.Median(bin);
            bin.Clear();
        }
    }

    /// <summary>The median of the points that were measured among some; null when fewer than half of them were.</summary>
    public double? Median(int from, int to)
    {
        if (from < 0 || to > Count || from >= to) return null;
        Span<double> known = stackalloc double[PerDay * 2];
        var count = 0;
        for (var i = from; i < to && count < known.Length; i++)
        {
            if (_values[i] is { } value) known[count++] = value;
        }

        if (count == 0 || 2 * count < Math.Min(to - from, known.Length)) return null;
        known = known[..count];
        known.Sort();
        return (known[(count - 1) / 2] + known[count / 2]) / 2;
    }

    /// <summary>After less before about a point, each over as many points; null where that was not measured.</summary>
    /// <param name="at">The first point behind it; what is missing just before it is passed over, up to a day.</param>
    /// <param name="span">Points after.</param>
    /// <param name="before">Points before.</param>
    public double? Step(int at, int span, int before)
    {
        var end = at;
        while (end > before && at - end < PerDay && end <= Count && _values[end - 1] is null) end--;
        return Median(at, at + span) - Median(end - before, end);
    }

    private static double Scaled(Channel channel, double value) => channel == Channel.TankConductivity ? 100 * Math.Log(Math.Max(value, 0.1)) : value;

    private static int Slot(DateTimeOffset at, TimeZoneInfo zone) => (int)(TimeZoneInfo.ConvertTime(at, zone).TimeOfDay / Quarter);

    private double Restlessness(int span)
    {
        // What the probe can tell at all: 0.1 % and 0.02 °C are a fraction of the devices' own steps; 100 lx is a cloud. Common practice, no source.
        var least = Channel switch { Channel.TankConductivity => 0.1, Channel.TankTemperature => 0.02, _ => 100 };
        List<double> steps = [];
        for (var at = Before(span); at + span <= Count; at += Math.Max(1, span / 8))
        {
            if (Step(at, span, Before(span)) is { } step) steps.Add(step);
        }

        return steps.Count == 0 ? double.PositiveInfinity : Math.Max(least, Spread.NormalFactor * Spread.MedianDeviation(steps));
    }
}
