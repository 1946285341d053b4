namespace Evenwater.Core.Calibration;

/// <summary>What a window of readings says about a value.</summary>
public enum SteadyState
{
    /// <summary>Not all readings of the window are there yet.</summary>
    TooFew,

    /// <summary>Whatever trend it may still have, 95 % sure, leaves the mean no further off than is allowed.</summary>
    Steady,

    /// <summary>There is a trend, and it is or may be too large.</summary>
    Moving,

    /// <summary>No trend is to be seen, but the scatter, its memory or the device's step could hide one that is too large.</summary>
    Noisy,
}

/// <summary>
/// Whether a value has stopped moving: by the confidence interval of its slope (least squares, Student's t), not by a timer and not by the absence of a proven trend.
/// The test of Mann and Kendall was left for it: "no trend seen" is soon true of noise whatever it hides, and many equal readings weaken it; an interval says how
/// large a trend may still be.
/// <para>
/// Steady: |slope| + t × its standard deviation + the device's step's part, times the lag, is within what is allowed, each side at 95 % (two one-sided tests, Schuirmann 1987,
/// from memory). A value that nears its end exponentially with a time constant tau has, in the middle of a window of W, slope × tau still to go; the window's mean is off by
/// that × (1 + (W / 2 tau)² / 15), at most a fifteenth more while tau is W / 2 or more, and for a faster one by less. So with the slowest lag that the probe may have, W / 2 or more, what is bounded is the error of the mean.
/// </para>
/// <para>
/// Memory: readings that resemble the one before say less than they count (<see cref="Memory"/>), in the slope's standard deviation and in its degrees of freedom.
/// </para>
/// <para>Step: readings rounded to a step are off by half of it at most, and that can tilt the line over a window of W by 1.5 steps / W at most (the worst signs, all of one half up and all of the other down).</para>
/// <para>The 95 % are those of one window. Who looks each second until it says yes has looked many times: leave a margin in what is allowed.</para>
/// </summary>
/// <param name="capacity">How many readings, evenly spaced in time; at least 10.</param>
/// <param name="allowed">Largest error of the mean by a trend, in the value's own unit; above 0.</param>
/// <param name="lagSamples">The probe's slowest lag, in spacings of readings; at least half the window, which is also what stands when it is left out: then the bound is on the difference of the window's two halves' means.</param>
/// <param name="step">What the device rounds to, in the value's own unit; 0 when it is far below the scatter.</param>
public sealed class Steadiness(int capacity, double allowed, double? lagSamples = null, double step = 0)
{
    private const int Fewest = 10;

    /// <summary>Residuals this far below what is allowed are the arithmetic's own, and have no memory.</summary>
    private const double Negligible = 1e-9;

    private readonly double[] _values = new double[capacity >= Fewest ? capacity : throw new ArgumentOutOfRangeException(nameof(capacity), capacity, "Allowed: 10 or more.")];
    private readonly double[] _places = [.. Enumerable.Range(0, capacity).Select(i => (double)i)];
    private readonly double _allowed = allowed > 0 ? allowed : throw new ArgumentOutOfRangeException(nameof(allowed), allowed, "Allowed: above 0.");
    private readonly double _step = step >= 0 ? step : throw new ArgumentOutOfRangeException(nameof(step), step, "Allowed: 0 or more.");
    private readonly double _lag = lagSamples is not { } lag ? capacity / 2.0
        : lag >= capacity / 2.0 ? lag : throw new ArgumentOutOfRangeException(nameof(lagSamples), lag, $"Allowed: {capacity / 2.0} or more, half the window.");

    private int _next;

    /// <summary>How many readings there are, at most all that are wanted.</summary>
    public int Count { get; private set; }

    /// <summary>How many are wanted.</summary>
    public int Wanted => _values.Length;

    /// <summary>Mean of the readings there are; only when there is one.</summary>
    public double Mean => Ordered().Average();

    /// <summary>Standard deviation of that mean: the readings' scatter over as many as they count for, and the device's step; only when there are three.</summary>
    public double SdOfMean
    {
        get
        {
            var values = Ordered();
            var mean = values.Average();
            var variance = values.Sum(v => (v - mean) * (v - mean)) / (Count - 1);
            return Math.Sqrt((variance / Math.Max(Worth(values, Line(values)), 1)) + (_step * _step / 12));
        }
    }

    /// <summary>Whether it is steady; never before all readings are there.</summary>
    public bool IsSteady => State == SteadyState.Steady;

    /// <summary>What the window says now.</summary>
    public SteadyState State
    {
        get
        {
            if (Count < Wanted) return SteadyState.TooFew;
            var values = Ordered();
            var line = Line(values);
            if (MayBeOff(values, line) <= _allowed) return SteadyState.Steady;
            var plain = StudentT.OneSided95(Count - 2) * line.SlopeSd(line.ResidualSd!.Value);
            return Math.Abs(line.Slope) > plain + Tilt ? SteadyState.Moving : SteadyState.Noisy;
        }
    }

    /// <summary>Takes a finite value; the oldest goes when there are too many.</summary>
    public void Add(double value)
    {
        _values[_next] = double.IsFinite(value) ? value : throw new ArgumentOutOfRangeException(nameof(value), value, "finite");
        _next = (_next + 1) % Wanted;
        Count = Math.Min(Count + 1, Wanted);
    }

    /// <summary>Forgets everything.</summary>
    public void Clear() => (_next, Count) = (0, 0);

    /// <summary>How far the device's step alone may tilt the line, units a spacing.</summary>
    private double Tilt => 1.5 * _step / (Wanted - 1);

    /// <summary>How far a trend may leave the mean off, 95 % sure; infinite when the readings count for too few to say.</summary>
    private double MayBeOff(double[] values, in StraightLine line)
    {
        var degrees = Worth(values, line) - 2;
        if (degrees < 1) return double.PositiveInfinity;
        var slopeSd = line.SlopeSd(Math.Sqrt(line.SumSquares / degrees));
        return (Math.Abs(line.Slope) + (StudentT.OneSided95(degrees) * slopeSd) + Tilt) * _lag;
    }

    /// <summary>How many independent readings they are worth, at most all of them.</summary>
    private double Worth(double[] values, StraightLine line) => Memory.Worth([.. values.Select((value, i) => value - line.At(i))], Negligible * _allowed);

    private StraightLine Line(double[] values) => StraightLine.Fit(_places.AsSpan(0, values.Length), values);

    /// <summary>The readings there are, the oldest first.</summary>
    private double[] Ordered()
    {
        var ordered = new double[Count];
        for (var i = 0; i < Count; i++) ordered[i] = _values[(_next - Count + i + Wanted) % Wanted];
        return ordered;
    }
}
