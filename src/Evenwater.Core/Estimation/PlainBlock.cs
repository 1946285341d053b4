namespace Evenwater.Core.Estimation;

/// <summary>Collects the readings of a thermometer, load cell or level sensor during a block: mean and spread of what was read.</summary>
internal struct PlainBlock
{
    private int _count;
    private double _first;
    private double _sum;
    private double _squares;
    private MonotonicTime _lastTaken;
    private bool _any;

    /// <summary>Takes a reading unless it is missing or was taken before.</summary>
    public void Add(in Reading reading)
    {
        if (!reading.TryGet(out var value) || (_any && reading.TakenAt == _lastTaken))
        {
            return;
        }

        _any = true;
        _lastTaken = reading.TakenAt;
        _first = _count == 0 ? value : _first;
        _count++;
        _sum += value - _first;
        _squares += (value - _first) * (value - _first);
    }

    /// <summary>Closes the block and starts the next. False when there was nothing.</summary>
    /// <param name="mean">Mean of the readings.</param>
    /// <param name="variance">Variance of that mean from the spread within the block.</param>
    public bool Close(out double mean, out double variance)
    {
        (mean, variance) = (0, 0);
        if (_count == 0)
        {
            return false;
        }

        var shift = _sum / _count;
        mean = _first + shift;
        variance = _count > 1 ? Math.Max(_squares - (_count * shift * shift), 0) / (_count - 1) / _count : 0;
        (_count, _sum, _squares) = (0, 0, 0);
        return true;
    }
}
