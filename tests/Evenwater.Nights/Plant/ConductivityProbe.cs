using Evenwater.Core;

namespace Evenwater.Nights.Plant;

/// <summary>A conductivity probe with a gain of its own, a lag, a slow wander, a walk, white noise, steps, lost readings, spikes, shifts and at most one fault.</summary>
public sealed class ConductivityProbe
{
    private readonly Setup _setup;
    private readonly Chance _chance;
    private readonly Wander _wander;
    private readonly double _follow;
    private readonly double _walkStep;
    private double _walk;
    private double _felt = double.NaN;
    private double? _stuckAt;

    public ConductivityProbe(Setup setup, Chance chance, double stepSeconds)
    {
        _setup = setup;
        _chance = chance;
        _wander = new Wander(chance, setup.WanderSd, setup.WanderSeconds, stepSeconds);
        _follow = 1 - Math.Exp(-stepSeconds / setup.LagSeconds);
        _walkStep = setup.WalkSdPerRootHour * Math.Sqrt(stepSeconds / 3600);
    }

    /// <summary>How the probe behaves; sds are fractions of the reading.</summary>
    public sealed record Setup
    {
        public double Gain { get; init; } = 1;

        public double LagSeconds { get; init; } = 30;

        public double WanderSd { get; init; }

        public double WanderSeconds { get; init; } = 1200;

        public double WalkSdPerRootHour { get; init; }

        public double NoiseSd { get; init; }

        /// <summary>Step of the readings, µS/cm.</summary>
        public double Step { get; init; } = 0.1;

        /// <summary>Share of readings that do not come.</summary>
        public double LostShare { get; init; }

        /// <summary>Share of readings that leap by anything from a twentieth to a half, as beside a switching load.</summary>
        public double SpikeShare { get; init; }

        public IReadOnlyList<ProbeShift> Shifts { get; init; } = [];

        /// <summary>It is taken out at this time, s; then no reading comes.</summary>
        public double RemovedFromSeconds { get; init; } = double.PositiveInfinity;

        public ProbeTrouble? Trouble { get; init; }
    }

    /// <summary>The water around it for one more step.</summary>
    public void Follow(double microsiemens)
    {
        _felt = double.IsNaN(_felt) ? microsiemens : _felt + (_follow * (microsiemens - _felt));
        _wander.Step();
        _walk += _walkStep * _chance.Gauss();
    }

    public Reading Read(double seconds, MonotonicTime at)
    {
        var noise = _setup.NoiseSd * _chance.Gauss();
        if (seconds >= _setup.RemovedFromSeconds || (_setup.LostShare > 0 && _chance.Happens(_setup.LostShare)))
        {
            return Reading.Missing(Reason.NoAnswer, at);
        }

        var value = _felt * _setup.Gain * Math.Exp(_wander.Value + _walk) * (1 + noise);
        foreach (var shift in _setup.Shifts)
        {
            value *= seconds >= shift.FromSeconds && seconds < shift.ToSeconds ? Math.Exp(shift.Ln) : 1;
        }

        if (_setup.SpikeShare > 0 && _chance.Happens(_setup.SpikeShare))
        {
            value *= 1 + (_chance.Sign() * _chance.Between(0.05, 0.5));
        }

        return _setup.Trouble is { } trouble && seconds >= trouble.FromSeconds && seconds < trouble.ToSeconds
            ? Wrong(trouble, value, seconds, at)
            : Reading.Of(Stepped(value), at);
    }

    private Reading Wrong(in ProbeTrouble trouble, double value, double seconds, MonotonicTime at) => trouble.Fault switch
    {
        ProbeFault.Stuck => Reading.Of(_stuckAt ??= Stepped(value), at),
        ProbeFault.Open => Reading.Missing(Reason.NoAnswer, at),
        ProbeFault.Burst => Reading.Of(Stepped(value * Math.Exp(trouble.Size * _chance.Gauss() * (_chance.Happens(0.1) ? 3 : 1))), at),
        ProbeFault.Drift => Reading.Of(Stepped(value * Math.Exp(trouble.Size * (seconds - trouble.FromSeconds) / 3600)), at),
        _ => Reading.Of(Stepped(Math.Abs(_chance.Gauss())), at), // a wet film in the air conducts about 1 µS/cm; common practice, no source
    };

    private double Stepped(double value) => Math.Round(value / _setup.Step) * _setup.Step;
}
