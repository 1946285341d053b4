namespace Evenwater.Core.Safety;

/// <summary>
/// How fast one value has changed over the last half hour, and how far since its first five minutes: differences of five-minute means, so that
/// noise does not look like a step. Holds its own ring of half-minute means; nothing is allocated after the start. A loose contact does not blind it:
/// half minutes without a reading are left out of the means, and only five minutes of them on end begin the half hour anew.
/// </summary>
public sealed class RateWatch
{
    private const double BlockSeconds = 30;
    private const int BlocksPerMean = 10;
    private const int Ring = 60;

    private readonly double?[] _means = new double?[Ring];
    private int _next;
    private int _filled;
    private int _missing;
    private double _sum;
    private int _count;
    private MonotonicTime _blockStart;
    private double _firstSum;
    private int _firstBlocks;

    /// <summary>
    /// Change since the first five minutes after <see cref="Clear"/>, in the value's own unit; null for five minutes, after a gap of as long as well, and
    /// while more than half of the last five were not read. What changed within those first minutes is missing from it.
    /// </summary>
    public double? FromStart => _filled >= BlocksPerMean && _firstBlocks == BlocksPerMean ? Mean(Ring - BlocksPerMean)?.Value - (_firstSum / BlocksPerMean) : null;

    /// <summary>Change per hour in the value's own unit; null until half an hour has been seen, and while more than half of its first or last five minutes were not.</summary>
    public double? PerHour => _filled == Ring && Mean(0) is var (first, began) && Mean(Ring - BlocksPerMean) is var (last, ended) ? (last - first) / ((ended - began) * BlockSeconds / 3600) : null;

    /// <summary>Takes one reading; one without a value is left out.</summary>
    public void Step(in Reading reading, MonotonicTime now)
    {
        var sinceStart = now.SecondsSince(_blockStart);
        if (sinceStart >= BlockSeconds)
        {
            Keep(_count > 0 ? _sum / _count : null);
            for (var missed = Math.Min(sinceStart / BlockSeconds, BlocksPerMean + 1) - 1; missed >= 1; missed--) Keep(null);
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

    private void Keep(double? mean)
    {
        if (mean is null && _filled == 0) return; // half an hour begins with a reading
        _missing = mean is null ? _missing + 1 : 0;
        if (_missing == BlocksPerMean)
        {
            Break();
            return;
        }

        if (mean is { } value && _firstBlocks < BlocksPerMean)
        {
            _firstSum += value;
            _firstBlocks++;
        }

        _means[_next] = mean;
        _next = (_next + 1) % Ring;
        _filled = Math.Min(_filled + 1, Ring);
    }

    /// <summary>The mean of five minutes and their middle, counted in blocks from the oldest; null when more than half of them were not read.</summary>
    private (double Value, double Block)? Mean(int from)
    {
        double sum = 0, blocks = 0;
        var seen = 0;
        for (var i = from; i < from + BlocksPerMean; i++)
        {
            if (_means[(_next + i) % Ring] is not { } mean) continue;
            sum += mean;
            blocks += i;
            seen++;
        }

        return 2 * seen >= BlocksPerMean ? (sum / seen, blocks / seen) : null;
    }

    /// <summary>Forgets the last half hour, not where it all began.</summary>
    private void Break()
    {
        _filled = 0;
        _next = 0;
        _missing = 0;
        _sum = 0;
        _count = 0;
    }
}
