namespace Evenwater.Core.Estimation;

/// <summary>Where a run stands in time: its start, the running block, and how long of it the valve was open.</summary>
internal struct Clockwork
{
    private bool _started;
    private bool _everOpen;
    private bool _everLongClosed;
    private double _closedSeconds;
    private MonotonicTime _start;
    private double _openSeconds;

    public MonotonicTime Last { get; private set; }

    public bool ValveOpen { get; private set; }

    public double BlockSeconds { get; private set; }

    public long Blocks { get; private set; }

    public readonly double SinceStart => Last.SecondsSince(_start);

    public readonly double OpenFraction => BlockSeconds > 0 ? _openSeconds / BlockSeconds : 0;

    /// <summary>The first time: sets the start.</summary>
    public void Begin(MonotonicTime now, bool valveOpen)
    {
        if (_started)
        {
            return;
        }

        _started = true;
        _start = now;
        Last = now;
        ValveOpen = valveOpen;
    }

    /// <summary>Time passes with the valve as it was.</summary>
    public void Pass(MonotonicTime now)
    {
        var seconds = now.SecondsSince(Last);
        BlockSeconds += seconds;
        _openSeconds += ValveOpen ? seconds : 0;
        _closedSeconds += ValveOpen ? 0 : seconds;
        Last = now;
    }

    /// <summary>Time has passed outside any block.</summary>
    public void SkipTo(MonotonicTime now) => Last = now;

    /// <summary>The valve is turned, or stays as it is.</summary>
    public void Turn(bool open)
    {
        _everOpen |= ValveOpen || open;
        _closedSeconds = open ? 0 : _closedSeconds;
        ValveOpen = open;
    }

    /// <summary>Whether the valve has been closed for so long without a break, s.</summary>
    public readonly bool IsLongClosed(double seconds) => !ValveOpen && _closedSeconds >= seconds;

    /// <summary>True the first time that the valve, once open, has been closed for so long.</summary>
    public bool IsFirstLongClosed(double seconds)
    {
        var first = !_everLongClosed && _everOpen && IsLongClosed(seconds);
        _everLongClosed |= first;
        return first;
    }

    public void NextBlock()
    {
        BlockSeconds = 0;
        _openSeconds = 0;
        Blocks++;
    }
}
