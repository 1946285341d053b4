namespace Evenwater.Core.Estimation;

/// <summary>
/// One sampled future of the vessel: salt mixes, the flow drifts, walks and may jump once, what cannot be held runs over; on some paths the
/// warmth goes with it. Steps along a grid until everything that is asked has happened.
/// </summary>
internal ref struct FuturePath
{
    private readonly Prior _prior;
    private readonly ReadOnlySpan<double> _draws;
    private readonly double? _keptWanted;
    private readonly double _tank;
    private readonly double _mark;
    private readonly double _ceiling;
    private readonly double _driftMean;
    private readonly double _drift;
    private readonly double _head;
    private readonly bool _clogs;
    private readonly double _leakFraction;
    private readonly double _evaporation;
    private double _volume;
    private double _surplus;
    private double _first;
    private double _flow;
    private double _exponent;
    private double _jumpAfter;
    private double _apart;
    private double _kept;

    /// <summary>The path's warmth; not followed without both thermometers.</summary>
    public WarmthPath Warmth;

    /// <summary>Seconds until even in conductivity, at the mark, and the first water is the share the keeper wants; infinite until then.</summary>
    public double Match, Brim, Replaced;

    /// <summary>Seconds until even in conductivity and temperature at once; infinite until then.</summary>
    public double Joint = Quantiles.Beyond;

    public FuturePath(Prior prior, Hypothesis h, ReadOnlySpan<double> x, in PathStart start, ReadOnlySpan<double> draws, double? keptWanted, WarmthPath warmth)
    {
        _prior = prior;
        _draws = draws;
        _keptWanted = keptWanted;
        Warmth = warmth;
        _volume = start.Litres;
        _tank = x[State.Tank];
        _surplus = (x[State.Mixed] - _tank) * _volume;
        _kept = start.Kept;
        _first = _kept * _volume;
        var rim = prior.BrimLitres * (1 + (prior.BrimRelativeSd * draws[DrawTable.Brim]));
        _mark = rim - prior.FreeboardLitres;
        _ceiling = Ceiling(prior, h, _volume, rim, draws[DrawTable.Standpipe]);
        (_clogs, _leakFraction) = (h.Clogs, h.LeakFraction);
        _driftMean = h.Clogs ? Process.ClogMean : Process.DriftMean;
        _drift = x[State.Drift] - _driftMean;
        _jumpAfter = draws[DrawTable.JumpSeconds];
        _evaporation = prior.EvaporationMillilitresPerHour / 3.6e6;
        _head = Math.Clamp(x[State.Head], -0.3, 0.9) / prior.BrimLitres;
        _flow = start.MillilitresPerMinute / 60_000 / Math.Max(1 - (_head * _volume), 0.1);
        _apart = Math.Abs(_surplus / _volume);
        Match = _apart <= prior.ToleranceMicrosiemensPerCm ? 0 : Quantiles.Beyond;
        Brim = _volume >= _mark ? 0 : Quantiles.Beyond;
        Replaced = _kept <= _keptWanted ? 0 : Quantiles.Beyond;
        Joint = Match == 0 && warmth.Even == 0 ? 0 : Quantiles.Beyond;
    }

    /// <summary>Whether something that is asked has not happened yet.</summary>
    public readonly bool GoesOn => double.IsInfinity(Match) || double.IsInfinity(Brim) || (_keptWanted is not null && double.IsInfinity(Replaced))
        || (Warmth.Followed && (double.IsInfinity(Joint) || double.IsInfinity(Warmth.Even)));

    public void Step(in GridStep step)
    {
        var jumped = Jump(step.OpenSeconds);

        // The drift so far: its mean and its own deviation, which fades.
        var next = (_driftMean * step.EndHours) + (_drift * (_clogs ? step.FadedClog : step.Faded)) + (Process.FlowWalk * DrawTable.WalkAt(_draws, step));
        var passed = step.OpenSeconds + ((step.Seconds - step.OpenSeconds) * _leakFraction);
        var added = passed <= 0 ? 0
            : jumped * Math.Exp(Math.Clamp(0.5 * (_exponent + next), -12, 6)) * Math.Max(1 - (_head * _volume), 0.1) * passed;
        _exponent = next;
        var evaporated = step.Seconds * _evaporation;
        var full = _volume + added;
        if (full >= _mark && double.IsInfinity(Brim) && _ceiling >= _mark)
        {
            Brim = step.Start + (step.Seconds * Math.Clamp((_mark - _volume) / (full - _volume), 0, 1));
        }

        _surplus += evaporated * (_tank + (_surplus / _volume));
        var over = full - _ceiling;
        if (over > 0)
        {
            var washed = Math.Exp(-over / _ceiling);
            _surplus *= washed;
            _first *= washed;
            full = _ceiling;
        }

        var salt = Cross(
            ref _apart, Math.Abs((_surplus / full) - (Process.TankFuture * _tank * _draws[DrawTable.TankChange] * step.RootHours)),
            _prior.ToleranceMicrosiemensPerCm, over > 0);
        Match = double.IsInfinity(Match) && salt.Within ? step.Start + (step.Seconds * salt.Share) : Match;
        if (_keptWanted is { } wanted)
        {
            var share = Cross(ref _kept, _first / full, wanted, over > 0);
            Replaced = double.IsInfinity(Replaced) && share.Within ? step.Start + (step.Seconds * share.Share) : Replaced;
        }

        if (Warmth.Followed)
        {
            Warmth.Step(step, _volume, added);
            Joint = double.IsInfinity(Joint) && salt.Within && Warmth.Within ? step.Start + (step.Seconds * Math.Max(salt.Share, Warmth.Share)) : Joint;
        }

        _volume = over > 0 ? full : Math.Max(full - evaporated, 0.5 * full);
    }

    /// <summary>
    /// The mean flow of a step in L/s before drift and head, with the jump that falls into it. A drip that stands still does not jump: its clock runs while it is open.
    /// </summary>
    private double Jump(double openSeconds)
    {
        var before = _flow;
        if (_jumpAfter > openSeconds)
        {
            _jumpAfter -= openSeconds;
            return before;
        }

        _flow *= _draws[DrawTable.JumpFactor];
        var share = openSeconds > 0 ? _jumpAfter / openSeconds : 0;
        _jumpAfter = double.PositiveInfinity;
        return (share * before) + ((1 - share) * _flow);
    }

    /// <summary>Whether what was <paramref name="before"/> is within <paramref name="limit"/> at the end of a step, and where in the step it came there:
    /// 1/difference grows evenly while a vessel fills, its logarithm falls evenly while it overflows.</summary>
    private static (bool Within, double Share) Cross(ref double before, double after, double limit, bool overflows)
    {
        var was = before;
        before = after;
        if (after > limit || was <= limit)
        {
            return (after <= limit, 0);
        }

        after = Math.Max(after, 1e-9);
        return (true, Math.Clamp(overflows ? Math.Log(was / limit) / Math.Log(was / after) : ((was / limit) - 1) / ((was / after) - 1), 0, 1));
    }

    /// <summary>The volume this path cannot exceed: its standpipe, else its rim.</summary>
    private static double Ceiling(Prior prior, Hypothesis h, double volume, double rim, double standpipe) =>
        h.Overflowing ? volume
        : prior is { Mode: VesselMode.Standpipe, StandpipeLitres: { } litres } ? Math.Max(volume, litres * (1 + (prior.StandpipeRelativeSd * standpipe)))
        : Math.Max(volume, rim);
}
