using Evenwater.Core.Standing;

namespace Evenwater.Core.Review;

/// <summary>Points a quarter of an hour apart with what they do by themselves, and what a look sees in them.</summary>
public sealed class Track
{
    private readonly double?[] _values;
    private readonly double[] _held;
    private readonly double[] _sums;
    private readonly int[] _known;
    private readonly Dictionary<(Look, int), (double[] Weights, double Sd)> _weights = [];
    private readonly Dictionary<Look, double> _stretch = [];

    internal Track(double?[] values, double leastPoint, IEnumerable<Look> looks, bool mayCalm = false)
    {
        _values = values;
        (_held, _sums, _known) = (new double[values.Length], new double[values.Length + 1], new int[values.Length + 1]);
        var first = Array.Find(values, value => value is not null) ?? 0;
        for (var i = 0; i < values.Length; i++)
        {
            _held[i] = values[i] ?? (i > 0 ? _held[i - 1] : first);
            _known[i + 1] = _known[i] + (values[i] is null ? 0 : 1);
        }

        for (var i = 0; i < values.Length; i++) _sums[i + 1] = _sums[i] + _held[i];
        Restlessness = Restlessness.Of(values, leastPoint, mayCalm);
        foreach (var look in looks) _stretch[look] = Math.Max(1, SeenSd(look) / (Let * Sd(look, look.Before)));
    }

    /// <summary>A month holds some thirty independent days, and the spread of sizes over a day is known to an eighth; what happened meanwhile widens it as well.</summary>
    private const double Let = 1.25;

    /// <summary>What it does by itself.</summary>
    public Restlessness Restlessness { get; }

    /// <summary>The points; null where nothing was measured.</summary>
    public IReadOnlyList<double?> Values => _values;

    /// <summary>How many points.</summary>
    public int Count => _values.Length;

    /// <summary>
    /// 1-sigma of a look's size. Sizes that spread wider over the whole past than neighbours' likeness makes them are measured by that spread: a channel may wander for days.
    /// </summary>
    public double Sd(in Look look, int before) => Weighed(look, before).Sd * _stretch.GetValueOrDefault(look, 1);

    /// <summary>1-sigma of the median of so many neighbours about what the channel is.</summary>
    /// <param name="span">As a look at levels has it.</param>
    public double SdOfMedian(int span)
    {
        const double OverMean = 1.16; // of eight from a normal distribution: √(8 × 0.1682), 300 000 drawn
        var weights = new double[span];
        weights.AsSpan().Fill(1.0 / span);
        return OverMean * Restlessness.Sd(weights) * Look.Levels.Where(look => look.Span == span).Select(look => _stretch.GetValueOrDefault(look, 1)).FirstOrDefault(1);
    }

    /// <summary>What a look sees: the size of the change that ends before a point; null where that was not measured.</summary>
    /// <param name="look">Which.</param>
    /// <param name="now">The first point after all that is looked at.</param>
    /// <param name="before">Points before, as many as nothing happened in.</param>
    /// <param name="atLeast">Null too when it is plainly smaller than this.</param>
    public double? Size(in Look look, int now, int before, double atLeast = 0)
    {
        var at = now - look.Span;
        var end = MeasuredBefore(at);
        if (end < before || 2 * Known(at, now) < look.Span || 2 * Known(end - before, end) < before) return null;
        if (look.Shape != SwingShape.Slope)
        {
            if (atLeast > 0 && Math.Abs(Mean(at, now) - Mean(end - before, end)) < 0.6 * atLeast) return null;
            return Median(at, now) - Median(end - before, end);
        }

        var weights = Weighed(look, before).Weights;
        double size = 0;
        for (var i = 0; i < before; i++) size += weights[i] * _held[end - before + i];
        for (var i = 0; i < look.Span; i++) size += weights[before + i] * _held[at + i];
        return size;
    }

    /// <summary>The point behind the last that was measured before one: what is missing there is passed over, up to a day.</summary>
    internal int MeasuredBefore(int at)
    {
        var end = at;
        while (end > 0 && at - end < Course.PerDay && _values[end - 1] is null) end--;
        return end;
    }

    /// <summary>The median of the points that were measured among some; null when fewer than half of them were.</summary>
    public double? Median(int from, int to)
    {
        if (from < 0 || to > Count || from >= to || 2 * Known(from, to) < to - from) return null;
        Span<double> known = stackalloc double[Course.PerDay * 2];
        var count = 0;
        for (var i = from; i < to && count < known.Length; i++)
        {
            if (_values[i] is { } value) known[count++] = value;
        }

        if (count == 0) return null;
        known = known[..count];
        known.Sort();
        return (known[(count - 1) / 2] + known[count / 2]) / 2;
    }

    private double Mean(int from, int to) => (_sums[to] - _sums[from]) / (to - from);

    private int Known(int from, int to) => _known[to] - _known[from];

    private (double[] Weights, double Sd) Weighed(in Look look, int before)
    {
        if (_weights.TryGetValue((look, before), out var known)) return known;
        var weights = new double[before + look.Span];
        if (look.Shape == SwingShape.Slope)
        {
            for (var i = 0; i < look.Span; i++) weights[before + i] = (i + 1.0) / look.Span;
            weights = Restlessness.Best(weights);
        }
        else
        {
            weights.AsSpan(0, before).Fill(-1.0 / before);
            weights.AsSpan(before).Fill(1.0 / look.Span);
        }

        return _weights[(look, before)] = (weights, Restlessness.Sd(weights));
    }

    private double SeenSd(in Look look)
    {
        // Within stretches about their own middle, of the stretches the middle one: a slope that goes on counts for nothing, and what happened counts little.
        List<double> variances = [], sizes = [];
        var stretch = Math.Max(2 * Course.PerDay, 4 * look.Span);
        for (var from = look.Before + look.Span; from + stretch <= Count; from += stretch)
        {
            sizes.Clear();
            for (var now = from; now < from + stretch; now += Math.Max(1, look.Span / 4))
            {
                if (Size(look, now, look.Before) is { } size) sizes.Add(size);
            }

            if (sizes.Count < 8) continue;
            var mean = sizes.Average();
            variances.Add(sizes.Sum(size => (size - mean) * (size - mean)) / (sizes.Count - 1));
        }

        return variances.Count == 0 ? 0 : Math.Sqrt(Spread.Median(variances) / Restlessness.MiddleOfMean);
    }
}
