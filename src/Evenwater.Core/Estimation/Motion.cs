namespace Evenwater.Core.Estimation;

/// <summary>How one point of the state moves: water in, water out, salt mixing, the probe following.</summary>
internal readonly struct Motion
{
    private readonly double _hours;
    private readonly double _minutes;
    private readonly double _evaporatedLitres;
    private readonly double _openFraction;
    private readonly double _lagKeep;
    private readonly double _wanderKeep;
    private readonly double _driftKeep;
    private readonly double _driftKeepClog;

    /// <param name="seconds">Length of the step.</param>
    /// <param name="openFraction">Fraction of it with the valve open.</param>
    /// <param name="evaporationMillilitresPerHour">Water lost to the air.</param>
    public Motion(double seconds, double openFraction, double evaporationMillilitresPerHour)
    {
        _hours = seconds / 3600;
        _minutes = seconds / 60;
        _openFraction = openFraction;
        _evaporatedLitres = evaporationMillilitresPerHour * _hours / 1000;
        _lagKeep = Math.Exp(-seconds / Process.ProbeLagSeconds);
        _wanderKeep = Math.Exp(-seconds / Process.WanderSeconds);
        _driftKeep = Math.Exp(-_hours / Process.DriftHours);
        _driftKeepClog = Math.Exp(-_hours / Process.ClogHours);
    }

    /// <summary>Moves <paramref name="x"/> in place.</summary>
    public void Move(Span<double> x, bool clogs, double leakFraction, bool overflowing)
    {
        var volume = Math.Exp(Math.Clamp(x[State.LnVolume], -7, 12));
        var lnFlow = Math.Clamp(x[State.LnFlow] + (0.5 * x[State.Drift] * _hours), -10, 10);
        var passed = _openFraction + ((1 - _openFraction) * leakFraction);
        var added = Math.Exp(lnFlow) * passed * _minutes / 1000;

        var (kept, filled) = Dilution.Of(volume, added, overflowing ? volume : double.PositiveInfinity);
        var after = Math.Max(filled - (overflowing ? 0 : _evaporatedLitres), 0.5 * filled);
        var before = x[State.Mixed];
        var mixed = x[State.Tank] + ((before - x[State.Tank]) * kept);
        mixed *= 1 + (_evaporatedLitres / filled);

        x[State.LnVolume] = Math.Log(after);
        x[State.Mixed] = mixed;
        x[State.Probe] = (0.5 * (before + mixed)) + ((x[State.Probe] - (0.5 * (before + mixed))) * _lagKeep);
        x[State.LnFlow] += x[State.Drift] * _hours;
        x[State.Drift] = Process.DriftMean + ((x[State.Drift] - Process.DriftMean) * (clogs ? _driftKeepClog : _driftKeep));
        x[State.Wander] *= _wanderKeep;
    }

    /// <summary>Adds the step's process noise.</summary>
    public void Widen(Hypothesis h)
    {
        var mixed = h.Mean[State.Mixed];
        var tank = h.Mean[State.Tank];
        var changePerSecond = Math.Exp(Math.Clamp(h.Mean[State.LnFlow] - h.Mean[State.LnVolume], -20, 20)) / 60_000
            * (_openFraction + ((1 - _openFraction) * h.LeakFraction)) * (tank - mixed);
        h.Widen(State.Probe, Square(Process.ProbeLagDoubt * Process.ProbeLagSeconds * changePerSecond) * (1 - (_lagKeep * _lagKeep)));
        h.Widen(State.LnVolume, 1e-8 * _minutes);
        h.Widen(State.LnFlow, Process.FlowWalk * Process.FlowWalk * _hours);
        h.Widen(State.Drift, 1e-6 * _hours);
        h.Widen(State.Mixed, Square(Process.MixingWalk * mixed) * _hours);
        h.Widen(State.Mixed, Square(Process.EvaporationWalk * mixed * Math.Exp(-Math.Clamp(h.Mean[State.LnVolume], -7, 12))) * _hours * (1 - _openFraction));
        h.Widen(State.Tank, Square(Process.TankWalk * tank) * _hours);
        h.Widen(State.LnGain, Process.GainWalk * Process.GainWalk * _hours);
        h.Widen(State.Wander, Square(Process.WanderSd * mixed) * (1 - (_wanderKeep * _wanderKeep)));
    }

    private static double Square(double x) => x * x;
}
