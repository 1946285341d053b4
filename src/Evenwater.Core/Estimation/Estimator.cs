namespace Evenwater.Core.Estimation;

/// <summary>
/// Estimates one run: how much water is in the vessel, how fast it comes, when it is even with the tank and when it would reach
/// its mark. Pure and deterministic: the same prior, seed and steps give the same bits. Not a safety device.
/// </summary>
/// <remarks>
/// A sum of Gaussian hypotheses, each carried by an extended Kalman filter, over ln volume, ln flow, its drift and its fall with the head, the
/// vessel, its lagging probe, slow corners and the fresh water that touches it, the tank, the probes' gain ratio and wander, the vessel's warmth and what it exchanges with
/// the room, and the zeros of a load cell, a level sensor and a drop counter where there are any. Conductivity and temperature show only
/// flow/volume; litres come from the start volume, a measured flow, the floats and those sensors. When none of these can tell, the
/// ranges grow by themselves. Draw-offs are told when they are done.
/// </remarks>
public sealed class Estimator
{
    /// <summary>Without the vessel's conductivity probe for this long, and nothing else to go by, the forecast is blind, s.</summary>
    private const double BlindSeconds = 600;

    /// <summary>
    /// While a load cell or a level sensor shows the level, or the flow is still known, the run may go on for this long without that probe, s. The forecast
    /// reckons meanwhile with every surge that it could not see, and closes when that is a risk.
    /// </summary>
    private const double BridgeSeconds = 7200;

    private const double TenMinutes = 600;
    private const double WarningSeconds = 800;

    /// <summary>A drip that seems to have stopped for this long cannot be told from a probe that sees nothing any more, s.</summary>
    private const double StoppedSeconds = 1800;

    /// <summary>A gap is carried in steps of this, s, but in no more than <see cref="MostGapSteps"/> of them.</summary>
    private const double GapStepSeconds = 120;

    /// <summary>Beyond 8 h the steps of a gap grow longer, so that the wait after it does not.</summary>
    private const int MostGapSteps = 240;

    /// <summary>A gap of 30 years is one nobody waits out; it keeps the clock from overflowing, s.</summary>
    private const double LongestGapSeconds = 1e9;

    private readonly Prior _prior;
    private readonly ValvePlan _plan;
    private readonly double _tripHorizonSeconds;
    private readonly Forward _forward;
    private readonly GaussianSum _sum = new();
    private readonly GaussianSum _view = new();
    private readonly Evidence _evidence;
    private FlowWatch _flowWatch;
    private EventLatch _latch;
    private Clockwork _time;
    private Forecast _latest;

    /// <summary>An estimator for one run.</summary>
    /// <param name="prior">What is known before the first sample.</param>
    /// <param name="seed">Seed of the forecast's draws.</param>
    /// <param name="tripHorizonSeconds">Horizon of <see cref="Forecast.BrimProbability"/>, s, more than 0, at most 48 h.</param>
    /// <exception cref="ArgumentException">The prior is impossible; the message names its part.</exception>
    public Estimator(Prior prior, ulong seed, double tripHorizonSeconds = 150)
    {
        ArgumentNullException.ThrowIfNull(prior);
        if (!(tripHorizonSeconds > 0 && tripHorizonSeconds <= Quantiles.HorizonSeconds))
        {
            throw new ArgumentOutOfRangeException(nameof(tripHorizonSeconds), tripHorizonSeconds, "more than 0 s, at most 48 h");
        }

        PriorRules.Check(prior);
        _prior = prior;
        _plan = new ValvePlan(prior.ValveCommands);
        _tripHorizonSeconds = tripHorizonSeconds;
        _forward = new Forward(prior, _plan, new DrawTable(seed));
        _evidence = new Evidence(prior);
        Opening.Fill(_sum, prior);
    }

    /// <summary>How long the vessel's conductivity probe has not been of use, s; a gap in which nobody looked begins it anew.</summary>
    public double VesselUnheardSeconds => _evidence.VesselUnheardSeconds;

    /// <summary>The latest forecast.</summary>
    public ref readonly Forecast Latest => ref _latest;

    /// <summary>How many forecasts there were: a change means a new one.</summary>
    public long Evaluations { get; private set; }

    /// <summary>
    /// Takes the latest readings. Call about once a second, or at the rate of a trace. Time that stands still or goes back is
    /// ignored; a pause of more than 90 s counts as a gap in which the valve went where it goes without power.
    /// </summary>
    /// <param name="readings">The latest reading of every channel; one already taken is not taken twice.</param>
    /// <param name="valveOpen">Whether the valve is commanded open from now on.</param>
    /// <param name="now">When.</param>
    public void Step(in Readings readings, bool valveOpen, MonotonicTime now)
    {
        _time.Begin(now, valveOpen);
        var elapsed = now.SecondsSince(_time.Last);
        if (elapsed < 0)
        {
            return;
        }

        if (elapsed > Process.GapSeconds)
        {
            Predict(elapsed, _time.ValveOpen && !_prior.ValveClosesOnPowerLoss);
            _time.SkipTo(now);
        }
        else
        {
            _time.Pass(now);
        }

        _time.Turn(valveOpen);
        if (_time.IsFirstLongClosed(_prior.LeaksAfterClosedSeconds))
        {
            _sum.Prune(Process.Keep);
            Births.OfLeaks(_sum, Process.LeakChance);
        }

        _evidence.Add(readings);
        if (_time.BlockSeconds >= Process.BlockSeconds)
        {
            CloseBlock();
        }
    }

    /// <summary>Mixed water was taken out of the vessel by hand, just now.</summary>
    /// <param name="litres">How much, L, more than 0.</param>
    /// <param name="relativeSd">1-sigma of that, as a fraction (a measured jug 0.02, by eye 0.15).</param>
    public void DrawOff(double litres, double relativeSd)
    {
        if (!(litres > 0) || !double.IsFinite(litres))
        {
            throw new ArgumentOutOfRangeException(nameof(litres), litres, "more than 0 L");
        }

        _sum.DrawOff(litres, relativeSd);
        _evidence.AfterDrawOff();
    }

    /// <summary>Carries the estimate over a time without readings.</summary>
    /// <param name="seconds">How long; beyond 48 h it is taken as 48 h.</param>
    /// <param name="valveOpen">Whether the valve was open meanwhile.</param>
    public void Predict(double seconds, bool valveOpen)
    {
        if (!(seconds > 0))
        {
            return;
        }

        if (_time.BlockSeconds > 0)
        {
            CloseBlock();
        }

        var predicted = Math.Min(seconds, Quantiles.HorizonSeconds);
        var steps = Math.Min((int)Math.Ceiling(predicted / GapStepSeconds), MostGapSteps);
        _sum.Prune(Process.Keep);
        for (var i = 0; i < steps; i++)
        {
            Advance(predicted / steps, valveOpen ? 1 : 0);
        }

        _time.SkipTo(_time.Last.Plus(Math.Min(seconds, LongestGapSeconds)));
        _evidence.AfterGap(seconds);
    }

    /// <summary>The latest forecast's quantiles as other draws would give them.</summary>
    internal Forecast Drawn(ulong seed) =>
        new Forward(_prior, _plan, new DrawTable(seed)).Look(_view, _time.SinceStart, WatersAlike() ? ReplacedWanted() : null, _evidence.FollowedTankCelsius);

    private double BrimWithin(double seconds, double now) => Tails.Brim(_view, _prior, seconds, _plan.OpenSeconds(now, seconds));

    private void Advance(double seconds, double openFraction)
    {
        _sum.Predict(new Motion(seconds, openFraction, _prior, _evidence.TankCelsius, _sum.Mean(State.LnVolume)));
        Opening.MindStandpipe(_sum, _prior);
        if (!_sum.Normalise())
        {
            Opening.Fill(_sum, _prior);
        }
    }

    private void CloseBlock()
    {
        var seconds = _time.BlockSeconds;
        var closed = _time.OpenFraction == 0;
        var open = _time.OpenFraction;
        Advance(seconds, open);
        _time.NextBlock();
        if (_evidence.Apply(_sum, seconds, open))
        {
            Relive();
        }

        if (!_sum.Normalise())
        {
            Opening.Fill(_sum, _prior);
        }

        if (_time.Blocks % Process.BirthBlocks == 0)
        {
            Bear(closed);
        }

        Look(seconds, seconds * open);
    }

    /// <summary>
    /// The probes hang in each other's water and have all along: lives through the run so far again with their readings exchanged. Floats, volume and
    /// temperature are not counted twice; they go on from here.
    /// </summary>
    private void Relive()
    {
        Opening.Fill(_sum, _prior);
        var count = _evidence.Relive();
        for (var i = 0; i < count; i++)
        {
            var past = _evidence.Past(i);
            Advance(past.Seconds, past.OpenFraction);
            _evidence.See(_sum, past.Vessel, past.Tank, past.Seconds, past.OpenFraction);
            if (i % Process.BirthBlocks == 0)
            {
                Bear(past.OpenFraction == 0);
            }
        }
    }

    /// <summary>What may have changed unseen since the last births: the flow, or that a closed valve holds.</summary>
    private void Bear(bool closed)
    {
        const double hours = Process.BirthBlocks * Process.BlockSeconds / 3600;
        closed &= !(_prior.LeaksAfterClosedSeconds > 0) || _time.IsLongClosed(_prior.LeaksAfterClosedSeconds);
        _sum.Prune(closed ? Process.KeepClosed : _prior.FlowMillilitresPerMinute is null && _time.Blocks < Process.UnknownBlocks ? Process.KeepUnknown : Process.Keep);
        if (!closed)
        {
            Births.OfShiftingProbe(_sum, hours);
            Births.OfFlow(_sum, hours);
            Births.OfDriftingProbe(_sum, hours);
            return;
        }

        Births.OfLeakingFlow(_sum, hours);
        Births.OfLeaks(_sum, Process.LeaksPerHour * hours);
    }

    /// <summary>
    /// What bridges a dead conductivity probe for a while: a load cell, a level sensor, or a flow that was known and can not have changed much since. The
    /// temperature does not: once the vessel is as warm as the tank it shows nothing.
    /// </summary>
    private bool IsBlind() => (!_evidence.BothSeen && _time.SinceStart > BlindSeconds)
        || _evidence.VesselUnseenSeconds > (_evidence.VolumeSeen || KnowsFlow() ? BridgeSeconds : BlindSeconds)
        || (_flowWatch.StoppedSeconds > StoppedSeconds && !_evidence.VolumeSeen);

    private bool KnowsFlow() => _sum.Variance(State.LnFlow) < Process.KnownFlowSd * Process.KnownFlowSd;

    /// <summary>Whether the two waters were so close at the start that their conductivity cannot tell when one has become the other.</summary>
    private bool WatersAlike() => _evidence.FirstApart is { } apart
        && apart <= Math.Max(_prior.ToleranceMicrosiemensPerCm, 3 * _prior.GainRatioRelativeSd * _sum.Mean(State.Tank));

    /// <summary>The share of the water that must be the tank's: what the keeper wants, and no less than leaves the tolerance of the first difference.</summary>
    private double ReplacedWanted() => _evidence.FirstApart is { } apart
        ? Math.Clamp(1 - (_prior.ToleranceMicrosiemensPerCm / Math.Max(apart, 1e-9)), _prior.ReplacedFraction, 0.999)
        : _prior.ReplacedFraction;

    private void Look(double seconds, double openSeconds)
    {
        _sum.CopyTo(_view);
        _evidence.Colour(_view);
        var now = _time.SinceStart;
        var flow = _flowWatch.Watch(_sum, seconds, openSeconds);
        var replaced = ReplacedWanted();
        _latest = _forward.Look(_view, now, WatersAlike() ? replaced : null, _evidence.FollowedTankCelsius) with
        {
            At = _time.Last,
            JudgedByReplacedFraction = WatersAlike(),
            FlowFactor = _flowWatch.JumpedBy,
            ReplacedWanted = replaced,
            ReplacedProbability = Tails.Replaced(_view, replaced),
            MatchedProbability = _evidence.BothSeen ? Tails.Matched(_view, _prior.ToleranceMicrosiemensPerCm) : 0,
            BrimProbability = BrimWithin(_tripHorizonSeconds, now),
            QuietBrimProbability = Tails.Brim(_view, _prior, WarningSeconds, _plan.OpenSeconds(now, WarningSeconds), quiet: true),
            BrimProbabilityTenMinutes = BrimWithin(TenMinutes, now),
            Health = IsBlind() ? Health.Blind
                : !_evidence.BothSeen || _evidence.Swapped || _evidence.VesselReason != Reason.None || _evidence.TankReason != Reason.None ? Health.Degraded
                : Health.Ok,
            ProbesSwapped = _evidence.Swapped,
            VesselReason = _evidence.VesselReason,
            TankReason = _evidence.TankReason,
            Events = flow | _latch.New(_sum, _evidence),
        };
        if (!_evidence.BothSeen)
        {
            _latest = _latest with { MatchSeconds = Quantiles.Never, JointMatchSeconds = _latest.JointMatchSeconds is null ? null : Quantiles.Never };
        }

        Evaluations++;
    }
}
