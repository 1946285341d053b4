namespace Evenwater.Core.Estimation;

/// <summary>One closed block of one probe.</summary>
/// <param name="Count">Good samples in it; 0 when there is no mean.</param>
/// <param name="Mean">Trimmed mean, in the channel's unit.</param>
/// <param name="Variance">Variance of that mean from the spread within the block.</param>
/// <param name="Reason">Why there is no mean, or <see cref="Reason.None"/>; with no samples either, it is too early to say.</param>
internal readonly record struct Block(int Count, double Mean, double Variance, Reason Reason)
{
    public bool IsGood => Count > 0 && Reason == Reason.None;
}

/// <summary>Collects the samples of one conductivity probe and closes them into a trimmed mean.</summary>
internal sealed class BlockAverage
{
    /// <summary>More samples than this in one block add nothing.</summary>
    private const int Capacity = 128;

    /// <summary>Fewer samples than this tell no spread of their own.</summary>
    private const int Fewest = 3;

    /// <summary>Share trimmed from each end.</summary>
    private const double Trim = 0.2;

    /// <summary>A flickering probe that stands still for this long is called stuck, s.</summary>
    private const double StuckSeconds = 90;

    /// <summary>The very same reading for this long is a stuck probe even if its noise is below its step, s.</summary>
    private const double QuietSeconds = Screening.Screen.QuietSeconds;

    /// <summary>So many repeats of one reading, where a block is too short to tell.</summary>
    private const int SameReadings = 8;

    /// <summary>Largest conductivity of any water a tank may hold, µS/cm: saturated sea water evaporated to twice its salt.</summary>
    private const double Largest = 120_000;

    private readonly double[] _values = new double[Capacity];
    private readonly double[] _sorted = new double[Capacity];
    private readonly double _step;
    private int _count;
    private Reason _reason = Reason.NoAnswer;
    private MonotonicTime _lastTaken = MonotonicTime.FromSeconds(-1e9);
    private double _lastDevice = double.NaN;
    private MonotonicTime _sameSince;
    private int _sameCount;
    private int _leapt;
    private MonotonicTime _lastLeap = MonotonicTime.FromSeconds(-1e9);
    private UsualNoise _noise;

    /// <param name="step">Quantisation of the readings, µS/cm.</param>
    public BlockAverage(double step) => (_step, _noise) = (step, new(step));

    /// <summary>Takes a reading unless it is the one taken before.</summary>
    public void Add(in Reading reading)
    {
        if (!reading.TryGet(out var value))
        {
            _reason = reading.Reason;
            _leapt += reading.Reason == Reason.TooFast && reading.TakenAt != _lastLeap ? 1 : 0;
            _lastLeap = reading.TakenAt;
            return;
        }

        if (reading.TakenAt == _lastTaken)
        {
            return;
        }

        _lastTaken = reading.TakenAt;
        if (!(value > 0 && value < Largest))
        {
            _reason = Reason.OutOfRange;
            return;
        }

        // A probe that hangs still changes at 25 °C with the thermometer: the device's own count tells, where there is one.
        var device = reading.Code ?? value;
        if (device.Equals(_lastDevice))
        {
            _sameCount++;
        }
        else
        {
            _lastDevice = device;
            _sameSince = reading.TakenAt;
            _sameCount = 0;
        }

        if (_count < Capacity)
        {
            _values[_count++] = value;
        }
    }

    /// <summary>Closes the block and starts the next.</summary>
    public Block Close()
    {
        var block = IsStuck() ? new Block(0, 0, 0, StillSeconds >= StuckSeconds ? Reason.Stuck : Reason.None)
            : _count == 0 ? new Block(0, 0, 0, _reason)
            : _leapt > _count ? new Block(0, 0, 0, Reason.TooFast) // the few that screening let through of a burst are no better than the others
            : Average();
        _leapt = 0;
        _count = 0;
        _reason = Reason.NoAnswer;
        return block;
    }

    /// <summary>
    /// A probe that usually flickers and stands still has stopped, and no block of it is used, even before it is called stuck:
    /// a few blocks of the same value look just as if the drip had stopped. A probe whose noise is below its own step may well repeat itself, and is given longer.
    /// </summary>
    private bool IsStuck() => _noise.IsQuiet
        ? _sameCount >= 3 && StillSeconds >= QuietSeconds
        : _count >= 4 ? _sameCount >= 0.75 * (_count - 1)
        : _sameCount >= SameReadings;

    private double StillSeconds => _lastTaken.SecondsSince(_sameSince);

    private Block Average()
    {
        if (_count < Fewest)
        {
            _noise.LearnFromNext(_values.AsSpan(0, _count), _lastTaken);
        }

        var sorted = _sorted.AsSpan(0, _count);
        _values.AsSpan(0, _count).CopyTo(sorted);
        sorted.Sort();
        sorted = WithoutSpikes(sorted);
        _count = sorted.Length;
        var trimmed = (int)(Trim * _count);
        var kept = _count - (2 * trimmed);
        var sum = 0.0;
        for (var i = trimmed; i < trimmed + kept; i++)
        {
            sum += sorted[i];
        }

        var mean = sum / kept;

        // Winsorised variance: the trimmed ends count as the outermost kept values (Tukey and McLaughlin 1963).
        var squares = 0.0;
        for (var i = 0; i < _count; i++)
        {
            var d = sorted[Math.Clamp(i, trimmed, trimmed + kept - 1)] - mean;
            squares += d * d;
        }

        var share = (double)kept / _count;
        var variance = squares / (_count - 1) / (share * share);
        if (_count >= Fewest && _noise.IsWild(variance))
        {
            return new Block(0, 0, 0, Reason.TooFast);
        }

        return new Block(_count, mean, ((_count < Fewest ? _noise.Borrowed(mean) : _noise.Learn(variance)) / _count) + Rounding(), Reason.None);
    }

    /// <summary>What is left of the sorted samples without spikes (Hampel 1974); all of them where more than a third would be one: then it is not the odd spike.</summary>
    private Span<double> WithoutSpikes(Span<double> sorted)
    {
        var count = sorted.Length;
        if (count < Fewest)
        {
            return sorted;
        }

        var median = 0.5 * (sorted[(count - 1) / 2] + sorted[count / 2]);
        var far = _noise.Spike(median);
        var (from, to) = (0, count);
        while (from < count && median - sorted[from] > far)
        {
            from++;
        }

        while (to > from && sorted[to - 1] - median > far)
        {
            to--;
        }

        return 3 * (count - (to - from)) <= count ? sorted[from..to] : sorted;
    }

    /// <summary>Variance of rounding to the step: noise averages it out, silence does not.</summary>
    private double Rounding() => _step * _step / 12 / (_noise.IsQuiet ? 1 : _count);
}
