namespace Evenwater.Core.Estimation;

/// <summary>One block of both conductivity probes, kept in case they turn out to be swapped.</summary>
internal readonly record struct PastBlock(Block Vessel, Block Tank, double Seconds, double OpenFraction);

/// <summary>
/// Notices that the two conductivity probes hang in each other's water: what is called the tank moves towards what is called the vessel,
/// and the vessel stands still. A tank does not do that, a vessel that is being filled does. Compares two straight lines through the
/// first hours.
/// </summary>
internal sealed class SwapWatch
{
    /// <summary>Blocks kept: the first four hours.</summary>
    private const int Capacity = 480;
    private const int Fewest = 12;

    /// <summary>A slope must be this many standard errors.</summary>
    private const double Sure = 6;

    /// <summary>And carry the water this far across the difference.</summary>
    private const double Way = 0.06;

    /// <summary>While the other goes less than this share of it, and of <see cref="MostWay"/>: a tank whose water is changed while the vessel fills is not this.</summary>
    private const double Still = 0.3;
    private const double MostWay = 0.25;

    /// <summary>Wander of a probe, as a fraction of its reading, that a straight line must not take for a trend.</summary>
    private const double Wander = 0.004;

    private readonly PastBlock[] _past = new PastBlock[Capacity];
    private Line _vessel;
    private Line _tank;
    private double _open;

    public int Count { get; private set; }

    public ref readonly PastBlock this[int i] => ref _past[i];

    /// <summary>Takes a block; true when the two must be swapped.</summary>
    public bool Watch(in PastBlock block)
    {
        if (Count == Capacity)
        {
            return false;
        }

        _past[Count++] = block;
        _open += block.Seconds * block.OpenFraction / 3600;
        if (block.OpenFraction <= 0 || !block.Vessel.IsGood || !block.Tank.IsGood)
        {
            return false;
        }

        _vessel.Add(_open, block.Vessel.Mean);
        _tank.Add(_open, block.Tank.Mean);
        return _tank.Count >= Fewest && IsSwapped();
    }

    /// <summary>Begins again, as after the two have been exchanged.</summary>
    public void Forget()
    {
        Count = Capacity;
        _vessel = default;
        _tank = default;
    }

    private bool IsSwapped()
    {
        var apart = _vessel.First - _tank.First;
        var tankWay = _tank.Slope * _tank.Range * Math.Sign(apart);
        var vesselWay = -_vessel.Slope * _vessel.Range * Math.Sign(apart);
        var tankError = Wander * _tank.First * _tank.SlopeError * _tank.Range;
        return tankWay > Way * Math.Abs(apart) && tankWay > Sure * tankError && Math.Abs(vesselWay) < Still * Math.Min(tankWay, MostWay * Math.Abs(apart));
    }

    /// <summary>A straight line by least squares.</summary>
    private struct Line
    {
        private double _x0;
        private double _x;
        private double _xx;
        private double _y;
        private double _xy;

        public int Count { get; private set; }

        public double First { get; private set; }

        public double Range { get; private set; }

        public readonly double Slope => _xx - (_x * _x / Count) is > 0 and var spread ? (_xy - (_x * _y / Count)) / spread : 0;

        /// <summary>Standard error of the slope for a residual of 1.</summary>
        public readonly double SlopeError => _xx - (_x * _x / Count) is > 0 and var spread ? 1 / Math.Sqrt(spread) : double.PositiveInfinity;

        public void Add(double x, double y)
        {
            if (Count++ == 0)
            {
                (_x0, First) = (x, y);
            }

            (x, y) = (x - _x0, y - First);
            Range = x;
            _x += x;
            _xx += x * x;
            _y += y;
            _xy += x * y;
        }
    }
}
