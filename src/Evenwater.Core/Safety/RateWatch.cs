namespace Evenwater.Core.Safety;

/// <summary>
/// How fast one value has changed over the last half hour, and how far since its first five minutes: differences of five-minute means, so that
/// noise does not look like a step. Holds its own ring of half-minute means; nothing is allocated after the start.
/// </summary>
public sealed class RateWatch
{
    private const double BlockSeconds = 30;
    private const int BlocksPerMean = 10;
    private const int Ring = 60;

    private readonly double[] _means = new double[Ring];
    private int _next;
    private int _filled;
    private double _sum;
    private int _count;
    private MonotonicTime _blockStart;
    private double _firstSum;
    private int _firstBlocks;

    /// <summary>
    /// Change since the first five minutes after <see cref="Clear"/>, in the value's own unit; null for five minutes, after a gap as well. What changed
    /// within those first minutes is missing from it.
    /// </summary>
    public double? FromStart
    {
        get
        {
            if (_filled < BlocksPerMean)
            {
                return null;
            }

            var last = 0.0;
            for (var i = 0; i < BlocksPerMean; i++)
            {
                last += _means[(_next + Ring - 1 - i) % Ring];
            }

            return (last - _firstSum) / BlocksPerMean;
        }
    }

    /// <summary>Change per hour in the value's own unit; null until half an hour has been seen.</summary>
    public double? PerHour
    {
        get
        {
            if (_filled < Ring)
            {
                return null;
            }

            double first = 0, last = 0;
            for (var i = 0; i < BlocksPerMean; i++)
            {
                first += _means[(_next + i) % Ring];
                last += _means[(_next + Ring - 1 - i) % Ring];
            }

            const double hoursBetween = (Ring - BlocksPerMean) * BlockSeconds / 3600;
            return (last - first) / BlocksPerMean / hoursBetween;
        }
    }

    /// <summary>Takes one reading; one without a value is left out. A gap of more than a block starts afresh.</summary>
    public void Step(in Reading reading, MonotonicTime now)
    {
        var sinceStart = now.SecondsSince(_blockStart);
        if (sinceStart >= BlockSeconds)
        {
            if (sinceStart >= 3 * BlockSeconds || _count == 0)
            {
                Break();
            }
            else
            {
                _means[_next] = _sum / _count;
                if (_firstBlocks < BlocksPerMean)
                {
                    _firstSum += _means[_next];
                    _firstBlocks++;
                }

                _next = (_next + 1) % Ring;
                _filled = Math.Min(_filled + 1, Ring);
            }

            _sum = 0;
            _count = 0;
            _blockStart = now;
        }

        if (reading.TryGet(out var value))
        {
            _sum += value;
            _count++;
        }
    }

    /// <summary>Forgets everything.</summary>
    public void Clear()
    {
        Break();
        (_firstSum, _firstBlocks, _blockStart) = (0, 0, default); // as a new one: a replay begins with such
    }

    /// <summary>Forgets the last half hour, not where it all began.</summary>
    private void Break()
    {
        _filled = 0;
        _next = 0;
        _sum = 0;
        _count = 0;
    }
}
