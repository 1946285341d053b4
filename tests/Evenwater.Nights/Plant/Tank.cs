namespace Evenwater.Nights.Plant;

/// <summary>The source: its water hardly moves, unless somebody changes it.</summary>
public sealed class Tank(double microsiemens, double celsius, double wanderSd, IReadOnlyList<TankChange> changes, Chance chance, double stepSeconds)
{
    private readonly Wander _wander = new(chance, wanderSd, 5400, stepSeconds);
    private readonly Wander _warmth = new(chance, 0.03, 3600, stepSeconds);
    private double _factor = 1;
    private double _warmer;
    private double _start = double.NaN;

    public double Microsiemens => microsiemens * _factor;

    public double Celsius => celsius + _warmer;

    public void Step(double seconds)
    {
        _wander.Step();
        _warmth.Step();
        if (double.IsNaN(_start))
        {
            _start = _wander.Value; // what the wander is at the start belongs to the start's own value
        }

        _factor = 1 + _wander.Value - _start;
        _warmer = _warmth.Value;
        foreach (var change in changes)
        {
            var share = Inflow.Share(seconds - change.AtSeconds, change.OverSeconds);
            _factor *= 1 + (share * (change.Factor - 1));
            _warmer += share * change.Celsius;
        }
    }
}
