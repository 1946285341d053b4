namespace Evenwater.Core.Estimation;

/// <summary>
/// Estimates one run: how much water is in the vessel, how fast it comes, when it is even with the tank and when it would reach
/// its mark. Pure and deterministic: the same prior, seed and steps give the same bits. Not a safety device.
/// </summary>
/// <remarks>
/// A sum of Gaussian hypotheses, each carried by an unscented filter, over ln volume, ln flow, its drift, the vessel, its lagging
/// probe, the tank, the probes' gain ratio and the probe's wander. Conductivity shows only flow/volume; litres come from the
/// start volume, a measured flow and the floats. When none of these can tell, the ranges grow by themselves.
/// </remarks>
public sealed class Estimator
{
    /// <summary>Without the vessel's probe for this long the forecast is blind, s.</summary>
    private const double BlindSeconds = 600;

    private readonly Prior _prior;
    private readonly ValvePlan _plan;
    private readonly double _tripHorizonSeconds;
    private readonly Forward _forward;
    private readonly GaussianSum _sum = new();
    private readonly GaussianSum _view = new();
    private readonly BlockAverage _vesselBlock;
    private readonly BlockAverage _tankBlock;
    private readonly ProbeEvidence _vessel = new(isTank: false);
    private readonly ProbeEvidence _tank = new(isTank: true);
    private readonly FloatWatch _low;
    private readonly FloatWatch _high;
    private TankWatch _tankWatch;
    private FlowWatch _flowWatch;
    private EventLatch _latch;
    private bool _started;
    private bool _everClosed;
    private bool _valveOpen;
    private MonotonicTime _start;
    private MonotonicTime _last;
    private double _blockSeconds;
    private double _openSeconds;
    private double _vesselUnseenSeconds;
    private long _blocks;
    private Forecast _latest;

    /// <summary>An estimator for one run.</summary>
    /// <param name="prior">What is known before the first sample.</param>
    /// <param name="seed">Seed of the forecast's draws.</param>
    /// <param name="tripHorizonSeconds">Horizon of <see cref="Forecast.BrimProbability"/>, s, more than 0.</param>
    public Estimator(Prior prior, ulong seed, double tripHorizonSeconds = 600)
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
        _vesselBlock = new BlockAverage(prior.QuantisationMicrosiemensPerCm);
        _tankBlock = new BlockAverage(prior.QuantisationMicrosiemensPerCm);
        _low = new FloatWatch(Channel.FloatLow, prior.FloatLowLitres, prior.FloatSdLitres);
        _high = new FloatWatch(Channel.FloatHigh, prior.FloatHighLitres, prior.FloatSdLitres);
        Opening.Fill(_sum, prior);
    }

    /// <summary>Whether there is a forecast yet: after the first block.</summary>
    public bool HasForecast => Evaluations > 0;

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
        if (!_started)
        {
            _started = true;
            _start = now;
            _last = now;
            _valveOpen = valveOpen;
        }

        var elapsed = now.SecondsSince(_last);
        if (elapsed < 0)
        {
            return;
        }

        if (elapsed > Process.GapSeconds)
        {
            Predict(elapsed, _valveOpen && !_prior.ValveClosesOnPowerLoss);
        }
        else
        {
            Pass(elapsed, _valveOpen);
            _last = now;
        }

        NoteValve(valveOpen);
        _vesselBlock.Add(readings[Channel.VesselConductivity]);
        _tankBlock.Add(readings[Channel.TankConductivity]);
        _low.Add(readings);
        _high.Add(readings);
        if (_blockSeconds >= Process.BlockSeconds)
        {
            CloseBlock();
        }
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

        if (_blockSeconds > 0)
        {
            CloseBlock();
        }

        var predicted = Math.Min(seconds, Quantiles.HorizonSeconds);
        var steps = (int)Math.Ceiling(predicted / 120);
        for (var i = 0; i < steps; i++)
        {
            Advance(predicted / steps, valveOpen ? 1 : 0);
        }

        _last = _last.Plus(Math.Min(seconds, 1e8));
        _vesselUnseenSeconds += seconds;
        _low.AfterGap();
        _high.AfterGap();
    }

    /// <summary>Makes <paramref name="other"/>, an estimator of the same run, continue exactly like this one.</summary>
    public void CopyTo(Estimator other)
    {
        ArgumentNullException.ThrowIfNull(other);
        if (!ReferenceEquals(_prior, other._prior))
        {
            throw new ArgumentException("an estimator of another run", nameof(other));
        }

        _sum.CopyTo(other._sum);
        _vesselBlock.CopyTo(other._vesselBlock);
        _tankBlock.CopyTo(other._tankBlock);
        _vessel.CopyTo(other._vessel);
        _tank.CopyTo(other._tank);
        _low.CopyTo(other._low);
        _high.CopyTo(other._high);
        other._tankWatch = _tankWatch;
        other._flowWatch = _flowWatch;
        other._latch = _latch;
        other._started = _started;
        other._everClosed = _everClosed;
        other._valveOpen = _valveOpen;
        other._start = _start;
        other._last = _last;
        other._blockSeconds = _blockSeconds;
        other._openSeconds = _openSeconds;
        other._vesselUnseenSeconds = _vesselUnseenSeconds;
        other._blocks = _blocks;
        other._latest = _latest;
        other.Evaluations = Evaluations;
    }

    private void Pass(double seconds, bool open)
    {
        _blockSeconds += seconds;
        _openSeconds += open ? seconds : 0;
    }

    private void NoteValve(bool open)
    {
        if (!open && !_everClosed)
        {
            _everClosed = true;
            _sum.BranchOnLeak();
        }

        _valveOpen = open;
    }

    private void Advance(double seconds, double openFraction)
    {
        _sum.Predict(seconds, openFraction, _prior.EvaporationMillilitresPerHour);
        Opening.MindStandpipe(_sum, _prior);
        if (!_sum.Normalise())
        {
            Opening.Fill(_sum, _prior);
        }
    }

    private void CloseBlock()
    {
        var seconds = _blockSeconds;
        Advance(seconds, seconds > 0 ? _openSeconds / seconds : 0);
        _blockSeconds = 0;
        _openSeconds = 0;

        var vesselBlock = _vesselBlock.Close();
        var tankBlock = _tankBlock.Close();
        _tankWatch.Watch(_sum, tankBlock, seconds);
        _vessel.Apply(_sum, vesselBlock, _tank.Seen);
        _tank.Apply(_sum, tankBlock, _vessel.Seen);
        Feel(_low);
        Feel(_high);
        if (++_blocks % Process.BirthBlocks == 0)
        {
            _sum.Prune(Process.Keep);
            _sum.Branch(Process.JumpsPerHour * Process.BirthBlocks * Process.BlockSeconds / 3600);
        }

        _vesselUnseenSeconds = _vessel.Reason == Reason.None ? 0 : _vesselUnseenSeconds + seconds;
        Look(seconds);
    }

    private void Feel(FloatWatch watch)
    {
        switch (watch.Close())
        {
            case FloatNews.Crossed:
                FloatEvidence.Crossed(_sum, watch);
                break;
            case FloatNews.FoundWet:
                FloatEvidence.FoundWet(_sum, watch);
                break;
            default:
                break;
        }
    }

    private void Look(double seconds)
    {
        _sum.CopyTo(_view);
        FloatEvidence.StillDry(_view, _low);
        FloatEvidence.StillDry(_view, _high);
        var now = _last.SecondsSince(_start);
        var health = !_vessel.Seen || !_tank.Seen || _vesselUnseenSeconds > BlindSeconds ? Health.Blind
            : _vessel.Reason != Reason.None || _tank.Reason != Reason.None ? Health.Degraded
            : Health.Ok;
        var flow = _flowWatch.Watch(_sum.Mean(State.LnFlow), Math.Sqrt(_sum.Variance(State.LnFlow)), seconds);
        _latest = _forward.Look(_view, now) with
        {
            At = _last,
            MatchedProbability = _vessel.Seen && _tank.Seen ? Tails.Matched(_view, _prior.ToleranceMicrosiemensPerCm) : 0,
            BrimProbability = Tails.Brim(_view, _prior, _tripHorizonSeconds, _plan.OpenSeconds(now, _tripHorizonSeconds)),
            Health = health,
            VesselReason = _vessel.Reason,
            TankReason = _tank.Reason,
            Events = flow | _latch.New(_sum, _vessel.Reason, _tank.Reason, _tankWatch.Changing),
        };
        if (!_vessel.Seen || !_tank.Seen)
        {
            _latest = _latest with { MatchSeconds = Quantiles.Never };
        }

        Evaluations++;
    }
}
