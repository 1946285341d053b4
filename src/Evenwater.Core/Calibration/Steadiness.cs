namespace Evenwater.Core.Calibration;

/// <summary>
/// Whether a value has stopped moving, over its last few dozen samples: no trend by the test of Mann (1945) and Kendall (1975) at 10 %,
/// and its second half no further from its first than allowed, so that a short look at a slow creep is not called steady.
/// </summary>
/// <param name="capacity">How many samples, at least 10.</param>
/// <param name="allowed">Largest difference of the two halves' means, in the value's own unit.</param>
public sealed class Steadiness(int capacity, double allowed)
{
    /// <summary>Two-sided 10 % of the normal distribution.</summary>
    private const double Critical = 1.645;

    private readonly double[] _values = new double[capacity];
    private int _next;

    /// <summary>How many samples there are, at most all that are wanted.</summary>
    public int Count { get; private set; }

    /// <summary>How many are wanted.</summary>
    public int Wanted => _values.Length;

    /// <summary>Mean of the samples there are; only when there is one.</summary>
    public double Mean => Sum(0, Count) / Count;

    /// <summary>Standard deviation of that mean, as far as the samples' own scatter tells; only when there are two.</summary>
    public double SdOfMean
    {
        get
        {
            var (mean, squares) = (Mean, 0.0);
            for (var i = 0; i < Count; i++)
            {
                squares += (At(i) - mean) * (At(i) - mean);
            }

            return Math.Sqrt(squares / (Count - 1) / Count);
        }
    }

    /// <summary>Whether it is steady; never before all samples are there.</summary>
    public bool IsSteady
    {
        get
        {
            var half = Count / 2;
            return Count == Wanted
                && Math.Abs((Sum(Count - half, half) - Sum(0, half)) / half) <= allowed
                && Math.Abs(MannKendall()) < Critical;
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

    /// <summary>
    /// The test's normal score: S is the number of later samples that are larger, less those that are smaller, over all pairs; its variance
    /// n(n-1)(2n+5)/18 without ties; one is taken off S towards 0 for continuity.
    /// </summary>
    internal double MannKendall()
    {
        var s = 0;
        for (var later = 1; later < Count; later++)
        {
            for (var earlier = 0; earlier < later; earlier++)
            {
                s += Math.Sign(At(later) - At(earlier));
            }
        }

        double n = Count;
        return (s - Math.Sign(s)) / Math.Sqrt(n * (n - 1) * ((2 * n) + 5) / 18);
    }

    /// <summary>The sample at a place in time, 0 the oldest.</summary>
    private double At(int place) => _values[(_next - Count + place + (2 * Wanted)) % Wanted];

    private double Sum(int from, int count)
    {
        var sum = 0.0;
        for (var i = from; i < from + count; i++)
        {
            sum += At(i);
        }

        return sum;
    }
}
