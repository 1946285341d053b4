using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>
/// A channel on a grid of a quarter of an hour, thinned to medians, without what each quarter of the local day brings by itself; and how restless its minutes are.
/// </summary>
public sealed class Course
{
    /// <summary>Points a day: medians of a quarter of an hour. A chart of single minutes would call every few hours (run length 465, Montgomery and Runger).</summary>
    public const int PerDay = 96;

    /// <summary>Fewer readings than this within a quarter of an hour tell nothing of how restless it is.</summary>
    private const int LeastOfSpread = 8;

    /// <summary>1-sigma of the logarithm of a spread that is told by some fifteen readings, 1.2 / √15: no quarter of an hour knows it better.</summary>
    private const double LeastOfLogSpread = 0.3;

    /// <summary>A probe in the air may read nought, which has no logarithm.</summary>
    private const double LeastMicrosiemensPerCm = 0.1;

    private static readonly TimeSpan Quarter = TimeSpan.FromDays(1) / PerDay;

    private readonly double?[] _seen;
    private readonly double?[] _values;

    private Course(Channel channel, DateTimeOffset start, double?[] seen, double?[] values, double?[] spreads)
    {
        (Channel, Start, _seen, _values) = (channel, start, seen, values);
        Track = new(values, LeastOf(channel).Point, [.. Look.Levels, .. Look.Slopes], mayCalm: channel == Channel.TankConductivity);
        Unrest = spreads.Any(spread => spread is not null) ? new(spreads, LeastOfLogSpread, []) : null;
    }

    /// <summary>Which channel.</summary>
    public Channel Channel { get; }

    /// <summary>Whether it is known of every measured quarter of the day what it brings by itself. Until then what comes every day is not told from what is new.</summary>
    public bool KnowsItsDay { get; private init; }

    /// <summary>Whether it was measured for long enough to tell what it does by itself; until then nothing is told of it.</summary>
    public bool KnowsItself => Track.Restlessness.IsKnown;

    /// <summary>What it does day after day by itself, in the unit of <see cref="Values"/>, which do not hold it: of conductivity alone, of all others 0.</summary>
    public double UsualPerDay { get; private init; }

    /// <summary>Where the first point begins.</summary>
    public DateTimeOffset Start { get; }

    /// <summary>How many points.</summary>
    public int Count => _values.Length;

    /// <summary>What the channel is without its daily course and its usual slope: of conductivity 100 times its logarithm, so per cent; °C; lx. Null where nothing was measured.</summary>
    public IReadOnlyList<double?> Values => _values;

    /// <summary>The medians as they were measured, in the channel's unit.</summary>
    public IReadOnlyList<double?> Seen => _seen;

    /// <summary>The values as they are looked at.</summary>
    public Track Track { get; }

    /// <summary>The natural logarithm of the readings' spread within each quarter of an hour; null when they came too seldom for that.</summary>
    public Track? Unrest { get; }

    /// <summary>A change smaller than this is none worth telling, in the unit of <see cref="Values"/>.</summary>
    public double LeastSize => LeastOf(Channel).Size;

    /// <summary>1-sigma of after less before over so many points, with four times as many before.</summary>
    /// <param name="span">1 to 96.</param>
    public double Sd(int span) => Track.Sd(new(SwingShape.Level, span, Math.Clamp(4 * span, 16, PerDay)), Math.Clamp(4 * span, 16, PerDay));

    /// <summary>What a point's time of day brings by itself, in the unit of <see cref="Values"/>; null where nothing was measured, or that is not known.</summary>
    internal double? OfDay(int point) => _seen[point] is { } seen ? Scaled(Channel, seen) - (UsualPerDay * point / PerDay) - _values[point] : null;

    /// <summary>When a point begins.</summary>
    public DateTimeOffset At(int point) => Start + (point * Quarter);

    /// <summary>The point of an instant; may lie outside.</summary>
    public int PointOf(DateTimeOffset at) => (int)Math.Floor((at - Start) / Quarter);

    /// <summary>How much of a span was measured, h: quarters of an hour with a reading.</summary>
    public double HoursSeen(DateTimeOffset from, DateTimeOffset to)
    {
        var hours = 0.0;
        for (var point = Math.Max(0, PointOf(from)); point < Count && At(point) < to; point++) hours += _seen[point] is null ? 0 : Quarter.TotalHours;
        return hours;
    }

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
        var spreads = new double?[seen.Length];
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
        // A lamp goes on and off every day: while its hours are not known, its every morning would be news.
        var (values, knowsDay) = DailyCourse.Without(scaled, Slots(zone), Slots(TimeZoneInfo.Utc), onlyKnown: channel == Channel.TankLight);
        var usual = channel == Channel.TankConductivity ? UsualSlope.Of(values) : 0;
        return new(channel, start, seen, UsualSlope.Without(values, usual), spreads) { KnowsItsDay = knowsDay, UsualPerDay = usual };

        int[] Slots(TimeZoneInfo of) => [.. Enumerable.Range(0, seen.Length).Select(i => Slot(start + (i * Quarter), of))];

        void Close()
        {
            if (bin.Count > 0 && open >= 0 && open < seen.Length)
            {
                seen[open] = Spread.Median(bin);
                if (bin.Count >= LeastOfSpread) spreads[open] = LogSpread(bin, LeastOf(channel).Point * (channel == Channel.TankConductivity ? Math.Max(seen[open]!.Value, LeastMicrosiemensPerCm) / 100 : 1));
            }

            bin.Clear();
        }
    }

    /// <summary>The median of the points that were measured among some; null when fewer than half of them were.</summary>
    public double? Median(int from, int to) => Track.Median(from, to);

    /// <summary>After less before about a point, each over as many points; null where that was not measured.</summary>
    /// <param name="at">The first point behind it; what is missing just before it is passed over, up to a day.</param>
    /// <param name="span">Points after.</param>
    /// <param name="before">Points before.</param>
    public double? Step(int at, int span, int before)
    {
        if (at > Count) return null;
        var end = Track.MeasuredBefore(at);
        return Median(at, at + span) - Median(end - before, end);
    }

    // What the probe can tell at all, a fraction of the devices' own steps, and what is worth telling: one step of a thermometer of 1/16 °C is nothing. 500 lx is a cloud.
    // Common practice, no source.
    private static (double Point, double Size) LeastOf(Channel channel) => channel switch
    {
        Channel.TankConductivity => (0.05, 0.2),
        Channel.TankTemperature => (0.01, 0.08),
        _ => (100, 500),
    };

    /// <summary>By how far each reading is off its two neighbours, which a slope does not move and a step only twice: √6 times one's 1-sigma, the middle one 0.6745 of that.</summary>
    private static double LogSpread(List<double> bin, double least) =>
        Math.Log(Math.Max(Spread.Median(Enumerable.Range(1, bin.Count - 2).Select(i => Math.Abs(bin[i + 1] - (2 * bin[i]) + bin[i - 1]))) * Spread.NormalFactor / Math.Sqrt(6), least));

    internal static double Scaled(Channel channel, double value) => channel == Channel.TankConductivity ? 100 * Math.Log(Math.Max(value, LeastMicrosiemensPerCm)) : value;

    private static int Slot(DateTimeOffset at, TimeZoneInfo zone) => (int)(TimeZoneInfo.ConvertTime(at, zone).TimeOfDay / Quarter);
}
