namespace Evenwater.Nights.Plant;

/// <summary>A value that wanders about 0 and comes back: an Ornstein-Uhlenbeck process, stepped exactly (Gillespie 1996).</summary>
public sealed class Wander
{
    private readonly Chance _chance;
    private readonly double _keep;
    private readonly double _kick;

    /// <param name="chance">Where the kicks come from.</param>
    /// <param name="sd">Its standard deviation in the long run.</param>
    /// <param name="seconds">Its time constant, s.</param>
    /// <param name="stepSeconds">Time between two steps, s.</param>
    public Wander(Chance chance, double sd, double seconds, double stepSeconds)
    {
        _chance = chance;
        _keep = Math.Exp(-stepSeconds / seconds);
        _kick = sd * Math.Sqrt(1 - (_keep * _keep));
        Value = sd * chance.Gauss();
    }

    public double Value { get; private set; }

    public void Step() => Value = (_keep * Value) + (_kick * _chance.Gauss());
}
