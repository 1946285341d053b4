namespace Evenwater.Nights.Plant;

/// <summary>
/// The drip: a head that falls as the tank sinks and the vessel fills, through a tube whose loss is partly in proportion to the flow
/// (laminar) and partly to its square, with slow wander, a walk, and changes at given times.
/// </summary>
public sealed class Inflow
{
    private readonly Setup _setup;
    private readonly Chance _chance;
    private readonly double _walkStep;
    private readonly Wander _wander;
    private double _walk;
    private bool _wasOpen = true;

    public Inflow(Setup setup, Chance chance, double stepSeconds)
    {
        _setup = setup;
        _chance = chance;
        _wander = new Wander(chance, setup.WanderSd, setup.WanderSeconds, stepSeconds);
        _walkStep = setup.WalkSdPerRootHour * Math.Sqrt(stepSeconds / 3600);
    }

    /// <summary>How the drip behaves.</summary>
    public sealed record Setup
    {
        /// <summary>At the start, mL/min.</summary>
        public required double MillilitresPerMinute { get; init; }

        /// <summary>Share of the head lost when the vessel is at its brim.</summary>
        public double HeadLoss { get; init; }

        /// <summary>Share of the loss that goes with the flow itself at the start; the rest goes with its square.</summary>
        public double LaminarShare { get; init; } = 0.5;

        /// <summary>ln per hour: slime, a softening tube.</summary>
        public double TrendPerHour { get; init; }

        public double WanderSd { get; init; }

        public double WanderSeconds { get; init; } = 3600;

        public double WalkSdPerRootHour { get; init; }

        /// <summary>Share of the flow that passes the closed valve.</summary>
        public double LeakShare { get; init; }

        /// <summary>From when it leaks, s.</summary>
        public double LeakFromSeconds { get; init; }

        /// <summary>A valve that opens anew does not let through quite the same, sd of ln.</summary>
        public double ReopenSd { get; init; }

        public IReadOnlyList<FlowChange> Changes { get; init; } = [];
    }

    /// <summary>mL/min through the open valve, for the given level (0 at the start, 1 at the brim).</summary>
    public double Open(double seconds, double filled)
    {
        var head = Math.Max(1 - (_setup.HeadLoss * filled), 0);
        var ln = _wander.Value + _walk + (_setup.TrendPerHour * seconds / 3600);
        foreach (var change in _setup.Changes)
        {
            ln += Math.Log(change.Factor) * Share(seconds - change.AtSeconds, change.OverSeconds);
        }

        return _setup.MillilitresPerMinute * Through(head, _setup.LaminarShare) * Math.Exp(ln);
    }

    /// <summary>mL/min that really flow now; steps the wander on.</summary>
    public double Step(double seconds, double filled, bool open)
    {
        _wander.Step();
        _walk += _walkStep * _chance.Gauss();
        if (open && !_wasOpen)
        {
            _walk += _setup.ReopenSd * _chance.Gauss();
        }

        _wasOpen = open;
        var leak = seconds >= _setup.LeakFromSeconds ? _setup.LeakShare : 0;
        return open ? Open(seconds, filled) : leak > 0 ? leak * Open(seconds, filled) : 0;
    }

    /// <summary>Flow r for a head h, both 1 at the start: λ r + (1 - λ) r² = h.</summary>
    internal static double Through(double head, double laminarShare)
    {
        var square = 1 - laminarShare;
        return square < 1e-6 ? head : (Math.Sqrt((laminarShare * laminarShare) + (4 * square * head)) - laminarShare) / (2 * square);
    }

    /// <summary>How much of a change has come: 0 before, 1 after, evenly between.</summary>
    internal static double Share(double since, double over) => since <= 0 ? 0 : since >= over ? 1 : since / over;
}
