namespace Evenwater.Core.Pacing;

/// <summary>
/// One value led along its path: a point that goes towards the tank's value at the permitted rate, and where the water is. Water that has come in but that
/// the probe does not show yet is counted from the forecast's flow and volume, or every pulse would end too late.
/// </summary>
internal struct PacedTrack
{
    /// <summary>Time constant of the smoothing, s: of one reading's noise a sixth is left.</summary>
    private const double SmoothSeconds = 20;

    /// <summary>Time until the smoothed reading shows what came in, s: the smoothing, a probe's lag and the mixing.</summary>
    private const double ShownSeconds = 90;

    /// <summary>While the drip alone sets the pace, the point's lead dies away in this, s: a drip that comes back must not make up for lost time.</summary>
    private const double LeadSeconds = 600;

    /// <summary>But so much of it stays, s of the path, or noise would close the valve.</summary>
    private const double KeptLeadSeconds = 60;

    /// <summary>So near, in s of the path, it is there: a heater's switching and a thermometer's steps must not close the valve.</summary>
    private const double ThereSeconds = 300;

    private double _start;
    private double _pending;
    private double _point;

    /// <summary>Whether there was a reading yet.</summary>
    public bool Begun { get; private set; }

    /// <summary>Where the path began; null before a reading.</summary>
    public readonly double? Start => Begun ? _start : null;

    /// <summary>The reading, smoothed, in the value's own unit.</summary>
    public double Read { get; private set; }

    /// <summary>Whether the water has come as far as the whole run may go, and the tank lies beyond: nothing more may come in. Noise opens for a pulse now and then; what was reached was reached.</summary>
    public bool Ended { get; private set; }

    /// <summary>Whether the water is behind its path, so that more may come in. Where it is as good as the tank's, it holds nothing back: no drip can take it further.</summary>
    public readonly bool IsBehind(double tank, double perSecond) =>
        Begun && ((double.IsFinite(perSecond) && Math.Abs(tank - Read) <= perSecond * ThereSeconds) || (_point - Read - _pending) * Math.Sign(tank - Read) > 0);

    /// <summary>Moves on.</summary>
    /// <param name="value">The vessel's value.</param>
    /// <param name="tank">The tank's value.</param>
    /// <param name="perSecond">Permitted rate, in the value's unit per s, more than 0; infinite where only the whole way is limited.</param>
    /// <param name="total">The path ends so far from where it began; infinite where nothing says so.</param>
    /// <param name="share">Share of the vessel's water that comes in in a second while the valve is open, 1/s.</param>
    /// <param name="open">Whether the valve was open.</param>
    /// <param name="seconds">How long.</param>
    /// <param name="mostLeadSeconds">The point leads by no more than it goes in this, s.</param>
    public void Step(double value, double tank, double perSecond, double total, double share, bool open, double seconds, double mostLeadSeconds)
    {
        if (!Begun)
        {
            (Begun, _start, _point, Read) = (true, value, value, value);
        }

        Read += (value - Read) * (1 - Math.Exp(-seconds / SmoothSeconds));
        _pending *= Math.Exp(-seconds / ShownSeconds);
        var side = Math.Sign(tank - Read);
        var comes = open ? Math.Abs(tank - Read - _pending) * share : 0;
        _pending += side * comes * seconds;
        var goes = double.IsInfinity(perSecond) ? Math.Abs(tank - _point) : Going(perSecond, comes, open, seconds, side, mostLeadSeconds);
        _point = Math.Abs(tank - _point) <= goes ? tank : _point + (Math.Sign(tank - _point) * goes);
        _point = Math.Clamp(_point, _start - total, _start + total);
        var heldByTotal = Math.Abs(tank - _start) > total && Math.Abs(_point - _start) >= total * (1 - 1e-9);
        Ended = heldByTotal && (Ended || (_point - Read - _pending) * side <= 0);
    }

    /// <summary>Holds the point near enough to the water, and tells how far it may go now.</summary>
    private double Going(double perSecond, double comes, bool open, double seconds, int side, double mostLeadSeconds)
    {
        var water = Read + _pending;
        var lead = Math.Min((_point - water) * side, perSecond * mostLeadSeconds);
        var slow = open && comes < perSecond;
        if (slow && lead > perSecond * KeptLeadSeconds)
        {
            lead -= (lead - (perSecond * KeptLeadSeconds)) * (1 - Math.Exp(-seconds / LeadSeconds));
        }

        if (lead > 0 && _point != water)
        {
            _point = water + (side * lead);
        }

        return (slow ? comes : perSecond) * seconds;
    }
}
