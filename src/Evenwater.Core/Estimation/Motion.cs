namespace Evenwater.Core.Estimation;

/// <summary>How a hypothesis moves: water in, water out, salt and heat mixing, the probe following. Linearised about its mean.</summary>
internal readonly struct Motion
{
    private readonly double _hours;
    private readonly double _minutes;
    private readonly double _openFraction;
    private readonly double _evaporatedLitres;
    private readonly double _brimLitres;
    private readonly double _lnMiddle;
    private readonly double _lnVolume;
    private readonly double? _tankCelsius;
    private readonly double _slowKeep;
    private readonly double _lagKeep;
    private readonly double _wanderKeep;
    private readonly double _driftKeep;
    private readonly double _driftKeepClog;

    /// <param name="seconds">Length of the step.</param>
    /// <param name="openFraction">Fraction of it with the valve open.</param>
    /// <param name="prior">For the evaporation and the brim.</param>
    /// <param name="tankCelsius">The tank's temperature; null when it is not known.</param>
    /// <param name="lnVolume">
    /// ln of the volume that the evaporation is doubted with, one for all hypotheses. With their own those that hold more, as a leak does, doubted it less, foretold
    /// each block more narrowly, and where the two waters are near each other outweighed the truth within a night.
    /// </param>
    public Motion(double seconds, double openFraction, Prior prior, double? tankCelsius, double lnVolume)
    {
        _hours = seconds / 3600;
        _minutes = seconds / 60;
        _openFraction = openFraction;
        _evaporatedLitres = prior.EvaporationMillilitresPerHour * _hours / 1000;
        _brimLitres = prior.BrimLitres;
        _lnMiddle = 0.5 * Math.Log(prior.StartVolumeLitres * prior.BrimLitres);
        _lnVolume = lnVolume;
        _tankCelsius = tankCelsius;
        _slowKeep = Math.Exp(-seconds / Process.SlowSeconds);
        _lagKeep = Math.Exp(-seconds / Process.ProbeLagSeconds);
        _wanderKeep = Math.Exp(-seconds / Process.WanderSeconds);
        _driftKeep = Math.Exp(-_hours / Process.DriftHours);
        _driftKeepClog = Math.Exp(-_hours / Process.ClogHours);
    }

    /// <summary>Moves mean and covariance of <paramref name="h"/> and adds the step's process noise.</summary>
    public void Move(Hypothesis h)
    {
        var x = h.Mean.AsSpan(0, State.Size);
        var passed = _openFraction + ((1 - _openFraction) * h.LeakFraction);
        var volume = Math.Exp(Math.Clamp(x[State.LnVolume], -7, 12));
        var added = Math.Exp(Math.Clamp(x[State.LnFlow] + (0.5 * x[State.Drift] * _hours), -10, 10)) * passed * _minutes / 1000;
        var part = added / (h.Overflowing ? volume : volume + added);
        var kept = h.Overflowing ? Math.Exp(-part) : 1 - part;
        var lost = h.Overflowing ? 0 : Math.Min(_evaporatedLitres, 0.2 * volume);
        var after = h.Overflowing ? volume : Math.Max(volume + added - lost, 1e-3);
        var richer = 1 + (_evaporatedLitres / (volume + added));
        var apart = x[State.Mixed] - x[State.Tank];
        var slope = h.Overflowing ? part * kept : kept * part;
        var steep = apart * slope * richer;
        var mixed = (x[State.Tank] + (apart * kept)) * richer;
        var half = 0.5 * (1 - _lagKeep);

        var transition = default(Transition);
        var ofVolume = h.Overflowing ? 1 : volume / after;
        var ofFlow = h.Overflowing ? 0 : added / after;
        transition.SetVolume(ofVolume, ofFlow);
        transition.SetKept(part);
        var (head, ofHead, before, then) = HeadLoss(x[State.Head], volume, after);
        transition.SetFlow(1 + (then * ofFlow), _hours, ofHead, (then * ofVolume) + before);
        transition.Drift = h.Clogs ? _driftKeepClog : _driftKeep;
        transition.SetMixed(kept * richer, (1 - kept) * richer, steep, -steep);
        transition.SetProbe(_lagKeep, half * (1 + (kept * richer)), half * (1 - kept) * richer, half * steep, -half * steep);
        transition.Wander = _wanderKeep;
        var halfSlow = 0.5 * (1 - _slowKeep);
        transition.SetSlow(_slowKeep, halfSlow * (1 + (kept * richer)), halfSlow * (1 - kept) * richer, halfSlow * steep, -halfSlow * steep);

        x[State.Slow] = (halfSlow * (x[State.Mixed] + mixed)) + (_slowKeep * x[State.Slow]);
        x[State.Probe] = (half * (x[State.Mixed] + mixed)) + (_lagKeep * x[State.Probe]);
        x[State.LnKept] += Math.Log(kept);
        x[State.LnVolume] = Math.Log(after);
        x[State.Mixed] = mixed;
        x[State.LnFlow] = Math.Clamp(x[State.LnFlow] + (x[State.Drift] * _hours) + head, -10, 10);
        var driftMean = h.Clogs ? Process.ClogMean : Process.DriftMean;
        x[State.Drift] = driftMean + ((x[State.Drift] - driftMean) * transition.Drift);
        x[State.Wander] *= _wanderKeep;
        Warm(ref transition, x, volume, added);
        transition.Apply(h);
        Widen(h, apart, part);
    }

    /// <summary>ln of what the flow changes because the water rose, its slope by the head component, by ln volume before and by ln volume after.</summary>
    private (double Change, double OfHead, double OfBefore, double OfAfter) HeadLoss(double head, double volume, double after)
    {
        var (x0, x1) = (volume / _brimLitres, after / _brimLitres);
        head = Math.Clamp(head, -0.3, 0.9);
        var (f0, f1) = (Math.Max(1 - (head * x0), 0.1), Math.Max(1 - (head * x1), 0.1));
        return (Math.Log(f1 / f0), (x0 / f0) - (x1 / f1), head * x0 / f0, -head * x1 / f1);
    }

    private void Warm(ref Transition transition, Span<double> x, double volume, double added)
    {
        if (_tankCelsius is not { } tank)
        {
            return;
        }

        var exchange = Math.Exp(Math.Clamp(x[State.LnExchange] - (Process.ExchangeFall * (Math.Log(volume) - _lnMiddle)), -8, 3)) * _hours;
        var inflow = added / volume;
        var pull = Math.Max(inflow + exchange, 1e-12);
        var keep = Math.Exp(-pull);
        var target = ((inflow * tank) + (exchange * x[State.Surroundings])) / pull;
        var share = (1 - keep) / pull;
        var towards = x[State.Warmth] - target;
        var ofInflow = inflow * (((tank - target) * share) - (towards * keep));
        var ofExchange = exchange * (((x[State.Surroundings] - target) * share) - (towards * keep));
        transition.SetWarmth(keep, -ofInflow - (Process.ExchangeFall * ofExchange), ofInflow, ofExchange, exchange * share);
        x[State.Warmth] = target + (towards * keep);
    }

    private void Widen(Hypothesis h, double apart, double part)
    {
        var mixed = h.Mean[State.Mixed];
        var tank = h.Mean[State.Tank];
        var lagged = Process.ProbeLagDoubt * Process.ProbeLagSeconds / 60 * apart * part / _minutes;
        h.Widen(State.Probe, Square(lagged) * (1 - (_lagKeep * _lagKeep)));
        h.Widen(State.LagShare, Square(Process.LagShareWalk) * _hours);
        h.Widen(State.LnVolume, 1e-8 * _minutes);
        h.Widen(State.LnFlow, Square(Process.FlowWalk) * _hours);
        h.Widen(State.Drift, Square(Process.DriftWalk) * _hours);
        h.Widen(State.Mixed, Square(Process.MixingWalk * mixed) * _hours);
        h.Widen(State.Mixed, Square(Process.EvaporationWalk * mixed * Math.Exp(-Math.Clamp(_lnVolume, -7, 12))) * _hours * (1 - _openFraction));
        h.Widen(State.Tank, Square(Process.TankWalk * tank) * _hours);
        h.Widen(State.LnGain, Square(Process.TankGainWalk) * _hours);
        h.ShiftVesselProbe(Square(Process.VesselGainWalk) * _hours);
        var wander = 1 - (_wanderKeep * _wanderKeep);
        h.Widen(State.Wander, Square(Process.WanderSd * mixed) * wander);
        if (_tankCelsius is not null)
        {
            h.Widen(State.Warmth, Square(Process.WarmthWalk) * _hours);
            h.Widen(State.LnExchange, Square(Process.ExchangeWalk) * _hours);
            h.Widen(State.Surroundings, Square(Process.SurroundingsWalk) * _hours);
        }

        h.Widen(State.Tare, Square(Process.TareWalk) * _hours);
        h.Widen(State.LevelOffset, Square(Process.LevelWalk) * _hours);
    }

    private static double Square(double x) => x * x;
}
