namespace Evenwater.Core.Estimation;

/// <summary>Everything that is read during a block, and what it says to the hypotheses when the block closes.</summary>
internal sealed class Evidence
{
    private readonly BlockAverage _vesselBlock;
    private readonly BlockAverage _tankBlock;
    private readonly ProbeEvidence _vessel = new(isTank: false);
    private readonly ProbeEvidence _tank = new(isTank: true);
    private readonly FloatWatch _low;
    private readonly FloatWatch _high;
    private readonly Prior _prior;
    private TankWatch _tankWatch;
    private WarmthEvidence _warmth;
    private VolumeEvidence _mass;
    private VolumeEvidence _level;
    private DropEvidence _drops;
    private readonly SwapWatch _swap = new();
    private double _tankUnseenSeconds;
    private bool _doubted;
    private ExchangeWatch _exchange;
    private double _settlingSeconds;

    public Evidence(Prior prior)
    {
        _prior = prior;
        _mass = new VolumeEvidence(Channel.Mass, State.Tare, prior.KilogramsPerLitre, prior.LoadCellTareSdKilograms, Process.MassFloor);
        _level = new VolumeEvidence(
            Channel.Level, State.LevelOffset, prior.VesselAreaSquareMetres is > 0 and var area ? 1 / area : 0, prior.LevelOffsetSdMillimetres, Process.LevelFloor);
        _vesselBlock = new BlockAverage(prior.QuantisationMicrosiemensPerCm);
        _tankBlock = new BlockAverage(prior.QuantisationMicrosiemensPerCm);
        _low = new FloatWatch(Channel.FloatLow, prior.FloatLowLitres, prior.FloatSdLitres);
        _high = new FloatWatch(Channel.FloatHigh, prior.FloatHighLitres, prior.FloatSdLitres);
    }

    /// <summary>Whether both probes were ever seen: before that nothing can be said about a match.</summary>
    public bool BothSeen => _vessel.Seen && _tank.Seen;

    /// <summary>The tank's temperature, °C; null before it was seen.</summary>
    public double? TankCelsius => _warmth.TankCelsius;

    /// <summary>The same, null as well while the vessel's own warmth is not followed.</summary>
    public double? FollowedTankCelsius => _warmth.Followed ? _warmth.TankCelsius : null;

    /// <summary>How far the two waters were apart when both had been seen first, µS/cm; null before that.</summary>
    public double? FirstApart { get; private set; }

    /// <summary>Why the vessel's probe is not of use; it disagrees as well when most hold, by other evidence, that it drifts.</summary>
    public Reason VesselReason => _vessel.Reason == Reason.None && _doubted ? Reason.Disagrees : _vessel.Reason;

    public Reason TankReason => _tank.Reason;

    /// <summary>Whether the two probes hang in each other's water; their readings are exchanged then.</summary>
    public bool Swapped { get; private set; }

    /// <summary>Whether a load cell or level sensor has just shown the volume.</summary>
    public bool VolumeSeen { get; private set; }

    public bool TankChanging => _tankWatch.Changing;

    /// <summary>How long the vessel's conductivity probe has not been of use, s.</summary>
    public double VesselUnseenSeconds { get; private set; }

    /// <summary>The same, but only as long as the program was there to see it, s.</summary>
    public double VesselUnheardSeconds { get; private set; }

    public void Add(in Readings readings)
    {
        _vesselBlock.Add(readings[Channel.VesselConductivity]);
        _tankBlock.Add(readings[Channel.TankConductivity]);
        _warmth.Add(readings);
        _mass.Add(readings);
        _level.Add(readings);
        _drops.Add(readings);
        _low.Add(readings);
        _high.Add(readings);
    }

    public void AfterGap(double seconds)
    {
        VesselUnseenSeconds += seconds;
        VesselUnheardSeconds = 0;
        _drops.AfterGap();
        _low.AfterGap();
        _high.AfterGap();
    }

    /// <summary>Closes the block of <paramref name="seconds"/> and conditions <paramref name="sum"/> on it.</summary>
    /// <returns>True when the probes have just turned out to be swapped from the start.</returns>
    public bool Apply(GaussianSum sum, double seconds, double openFraction)
    {
        var vessel = _vesselBlock.Close();
        var tank = _tankBlock.Close();
        if (Swapped)
        {
            (vessel, tank) = (tank, vessel);
        }

        if (_exchange.Watch(sum, vessel, tank, BothSeen) is var verdict && verdict == Exchange.Done)
        {
            Swapped = !Swapped;
            (vessel, tank) = (tank, vessel);
            _swap.Forget();
            _tankWatch = default;
            _settlingSeconds = Process.SettleSeconds;
        }

        if (verdict != Exchange.Suspected)
        {
            See(sum, vessel, tank, seconds, openFraction);
        }

        AssumeTank(sum, seconds);
        FirstApart ??= Apart(sum);
        VolumeSeen = _mass.Apply(sum) | _level.Apply(sum);
        _warmth.Apply(sum, _prior);
        _drops.Apply(sum, _prior, seconds, openFraction);
        Feel(sum, _low);
        Feel(sum, _high);
        var heard = _vessel.Reason == Reason.None && verdict != Exchange.Suspected;
        (VesselUnseenSeconds, VesselUnheardSeconds) = heard ? (0, 0) : (VesselUnseenSeconds + seconds, VesselUnheardSeconds + seconds);
        _doubted = sum.Doubting() > 0.5;
        var swapped = _swap.Watch(new PastBlock(vessel, tank, seconds, openFraction));
        Swapped ^= swapped;
        return swapped;
    }

    /// <summary>Water was drawn off: what a float has still to say it says anew.</summary>
    public void AfterDrawOff()
    {
        _low.AfterDrawOff();
        _high.AfterDrawOff();
    }

    /// <summary>Forgets what was made of the readings so far: with the probes exchanged the run is lived through again.</summary>
    /// <returns>How many blocks there are to live through.</returns>
    public int Relive()
    {
        _vessel.Forget();
        _tank.Forget();
        _tankWatch = default;
        FirstApart = null;
        _warmth.Restart();
        _mass.Restart();
        _level.Restart();
        _drops.Restart();
        var count = _swap.Count;
        _swap.Forget();
        return count;
    }

    /// <summary>One kept block, the other way round.</summary>
    public PastBlock Past(int i) => _swap[i] with { Vessel = _swap[i].Tank, Tank = _swap[i].Vessel };

    /// <summary>What the two probes say.</summary>
    public void See(GaussianSum sum, in Block vessel, in Block tank, double seconds, double openFraction)
    {
        // The tank is known, and its water has not changed because a probe was put into it.
        var settles = _settlingSeconds > 0;
        _settlingSeconds -= settles ? seconds : 0;
        if (!settles)
        {
            _tankWatch.Watch(sum, tank, seconds);
        }

        _vessel.Pass(seconds, openFraction);
        _vessel.Apply(sum, vessel, _tank.Seen);
        if (!settles)
        {
            _tank.KeepGain = _tankWatch.Changing;
            _tank.Apply(sum, tank, _vessel.Seen);
        }

        FirstApart ??= Apart(sum);
    }

    private double? Apart(GaussianSum sum) => BothSeen ? Math.Abs(sum.Mean(State.Mixed) - sum.Mean(State.Tank)) : null;

    /// <summary>Turns <paramref name="view"/> into the estimate as seen with what is true now and may not be counted twice.</summary>
    public void Colour(GaussianSum view)
    {
        FloatEvidence.Colour(view, _low);
        FloatEvidence.Colour(view, _high);
    }

    /// <summary>
    /// Nothing has come from the tank's probe: after a while the run goes on with what the keeper measured, or without any idea,
    /// and the vessel's own course then shows where it is heading.
    /// </summary>
    private void AssumeTank(GaussianSum sum, double seconds)
    {
        _tankUnseenSeconds += seconds;
        if (_tank.Seen || !_vessel.Seen || (_tank.Reason != Reason.NotFitted && _tankUnseenSeconds < Process.TankPatienceSeconds))
        {
            return;
        }

        var vessel = sum.Mean(State.Mixed);
        _tank.Assume(
            sum,
            _prior.TankMicrosiemensPerCm ?? vessel,
            _prior.TankMicrosiemensPerCm is { } tank ? tank * _prior.TankRelativeSd : vessel * Process.TankIgnorance);
    }

    private static void Feel(GaussianSum sum, FloatWatch watch)
    {
        switch (watch.Close())
        {
            case FloatNews.Crossed:
                FloatEvidence.Crossed(sum, watch);
                break;
            case FloatNews.FoundWet:
                FloatEvidence.FoundWet(sum, watch);
                break;
            default:
                break;
        }
    }
}
