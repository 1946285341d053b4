namespace Evenwater.Core.Estimation;

/// <summary>How much one probe usually scatters from one sample to the next, learnt as the run goes on.</summary>
/// <param name="step">Quantisation of the readings, µS/cm.</param>
internal struct UsualNoise(double step)
{
    /// <summary>This many times the usual noise is not water.</summary>
    private const double WildTimes = 6;

    /// <summary>Blocks before that is judged.</summary>
    private const int FirstBlocks = 10;

    /// <summary>A sample so many times the usual noise from the others is a spike.</summary>
    private const double SpikeTimes = 6;

    /// <summary>Noise that is reckoned with before there is a usual one, as a fraction of the reading: of one sample, and of a whole short block.</summary>
    private const double FirstNoise = 0.005;

    /// <inheritdoc cref="FirstNoise"/>
    private const double ShortNoise = 0.01;

    /// <summary>Share of a new block in what is usual.</summary>
    private const double Share = 0.1;

    /// <summary>Samples further apart than this tell nothing of the noise, s.</summary>
    private const double NextSeconds = 150;

    /// <summary>So many differences make a usual noise.</summary>
    private const int FewestDifferences = 4;

    private double _sd = double.NaN;
    private int _blocks;
    private double _last;
    private MonotonicTime _lastAt = MonotonicTime.FromSeconds(-1e9);
    private double _difference;
    private int _differences;

    /// <summary>Whether the noise is below the step, so that repeated readings prove nothing and averaging does not help.</summary>
    public readonly bool IsQuiet => !(_sd > 0.7 * step);

    /// <summary>Many times the usual noise: no water does that.</summary>
    /// <param name="variance">Of one sample in a block.</param>
    public bool IsWild(double variance)
    {
        var wild = _blocks >= FirstBlocks && Math.Sqrt(variance) > WildTimes * (_sd + step);
        _blocks++;
        return wild;
    }

    /// <summary>So far from the median a sample is a spike, µS/cm.</summary>
    public readonly double Spike(double median) => SpikeTimes * ((double.IsNaN(_sd) ? FirstNoise * median : _sd) + step);

    /// <summary>Keeps the usual spread of one sample, and does not believe a block that is quieter than that by chance.</summary>
    /// <returns>The variance to go by.</returns>
    public double Learn(double variance)
    {
        var sd = Math.Sqrt(variance);
        _sd = double.IsNaN(_sd) ? sd : _sd + (Share * (Math.Min(sd, (3 * _sd) + step) - _sd));
        return Math.Max(variance, _sd * _sd);
    }

    /// <summary>
    /// Where every block is short, what lies between a sample and the next tells the noise: of one normal law that is 2/sqrt(pi) standard deviations in the mean
    /// (Kendall and Stuart, mean difference of a normal law; from memory). A leap counts as three times the usual.
    /// </summary>
    /// <param name="samples">A short block's, in the order in which they came.</param>
    /// <param name="at">When the last of them was taken.</param>
    public void LearnFromNext(ReadOnlySpan<double> samples, MonotonicTime at)
    {
        if (_blocks > 0)
        {
            return; // blocks that tell their own spread know better
        }

        foreach (var sample in samples)
        {
            if (at.SecondsSince(_lastAt) <= NextSeconds)
            {
                var sd = Math.Abs(sample - _last) * Math.Sqrt(Math.PI) / 2;
                var most = _differences < FewestDifferences ? sd : (3 * _difference) + step;
                _difference += Math.Max(Share, 1.0 / ++_differences) * (Math.Min(sd, most) - _difference);
            }

            (_last, _lastAt) = (sample, at);
        }

        _sd = _differences >= FewestDifferences ? _difference : _sd;
    }

    /// <summary>A block too short to tell its own spread borrows the usual one; before there is one, 1 %.</summary>
    public readonly double Borrowed(double mean) => double.IsNaN(_sd) ? mean * mean * ShortNoise * ShortNoise : _sd * _sd;
}
