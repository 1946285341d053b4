namespace Evenwater.Hardware.Rig;

/// <summary>
/// A small generator that gives the same numbers for the same seed everywhere: PCG-XSH-RR 64/32 (O'Neill, "PCG: A Family of
/// Simple Fast Space-Efficient Statistically Good Algorithms for Random Number Generation", 2014).
/// </summary>
internal struct Pcg
{
    private const ulong Multiplier = 6364136223846793005;
    private const ulong UsualStream = 721347520444481703; // the paper's usual increment, halved

    private readonly ulong _increment;
    private ulong _state;
    private double _spare;
    private bool _hasSpare;

    public Pcg(ulong seed, ulong stream = UsualStream)
    {
        _increment = unchecked(stream << 1) | 1;
        _state = unchecked(seed + _increment);
        NextUInt();
    }

    public uint NextUInt()
    {
        var old = _state;
        _state = unchecked((old * Multiplier) + _increment);
        var shifted = (uint)(((old >> 18) ^ old) >> 27);
        return uint.RotateRight(shifted, (int)(old >> 59));
    }

    /// <summary>Uniform in (0, 1).</summary>
    public double NextUniform() => (NextUInt() + 0.5) / 4294967296.0;

    /// <summary>Uniform between two bounds.</summary>
    public double NextUniform(double low, double high) => low + ((high - low) * NextUniform());

    /// <summary>Normal with mean 0 and standard deviation 1, by Box and Muller.</summary>
    public double NextNormal()
    {
        if (_hasSpare)
        {
            _hasSpare = false;
            return _spare;
        }

        var radius = Math.Sqrt(-2 * Math.Log(NextUniform()));
        var (sine, cosine) = Math.SinCos(2 * Math.PI * NextUniform());
        _spare = radius * sine;
        _hasSpare = true;
        return radius * cosine;
    }
}
