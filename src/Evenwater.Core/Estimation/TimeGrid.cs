namespace Evenwater.Core.Estimation;

/// <summary>The steps of a forecast: fine at first, a quarter longer each time, broken where the plan moves the valve.</summary>
internal sealed class TimeGrid
{
    private const int Capacity = 96;
    private const double Growth = 0.25;
    private readonly double[] _start = new double[Capacity + 1];
    private readonly double[] _openFraction = new double[Capacity];
    private readonly (int Node, double Part)[] _place = new (int Node, double Part)[Capacity];

    public int Count { get; private set; }

    /// <summary>Seconds from now to the start of a step.</summary>
    public double Start(int step) => _start[step];

    /// <summary>Length of a step, s.</summary>
    public double Seconds(int step) => _start[step + 1] - _start[step];

    /// <summary>Share of a step with the valve open.</summary>
    public double OpenFraction(int step) => _openFraction[step];

    /// <summary>Where the end of a step lies on the flow's walk.</summary>
    public (int Node, double Part) EndPlace(int step) => _place[step];

    public void Lay(ValvePlan plan, double now)
    {
        Count = 0;
        _start[0] = 0;
        while (_start[Count] < Quantiles.HorizonSeconds)
        {
            var t = _start[Count];
            var end = Math.Min(t + Process.BlockSeconds + (Growth * t), Quantiles.HorizonSeconds);

            // With very many commands the last steps are not broken: the open share of a long step is then exact, its order is not.
            if (Count < Capacity - 36)
            {
                end = Math.Min(end, Math.Max(plan.NextChangeAfter(now + t) - now, t + 1));
            }

            _openFraction[Count] = plan.OpenSeconds(now + t, end - t) / (end - t);
            _place[Count] = DrawTable.Place(end);
            _start[++Count] = end;
        }
    }
}
