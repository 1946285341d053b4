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
    private TankWatch _tankWatch;

    public Evidence(Prior prior)
    {
        _vesselBlock = new BlockAverage(prior.QuantisationMicrosiemensPerCm);
        _tankBlock = new BlockAverage(prior.QuantisationMicrosiemensPerCm);
        _low = new FloatWatch(Channel.FloatLow, prior.FloatLowLitres, prior.FloatSdLitres);
        _high = new FloatWatch(Channel.FloatHigh, prior.FloatHighLitres, prior.FloatSdLitres);
    }

    /// <summary>Whether both probes were ever seen: before that nothing can be said about a match.</summary>
    public bool BothSeen => _vessel.Seen && _tank.Seen;

    public Reason VesselReason => _vessel.Reason;

    public Reason TankReason => _tank.Reason;

    public bool TankChanging => _tankWatch.Changing;

    /// <summary>How long the vessel's probe has not been of use, s.</summary>
    public double VesselUnseenSeconds { get; private set; }

    public void Add(in Readings readings)
    {
        _vesselBlock.Add(readings[Channel.VesselConductivity]);
        _tankBlock.Add(readings[Channel.TankConductivity]);
        _low.Add(readings);
        _high.Add(readings);
    }

    public void AfterGap(double seconds)
    {
        VesselUnseenSeconds += seconds;
        _low.AfterGap();
        _high.AfterGap();
    }

    /// <summary>Closes the block of <paramref name="seconds"/> and conditions <paramref name="sum"/> on it.</summary>
    public void Apply(GaussianSum sum, double seconds)
    {
        var vessel = _vesselBlock.Close();
        var tank = _tankBlock.Close();
        _tankWatch.Watch(sum, tank, seconds);
        _vessel.Apply(sum, vessel, _tank.Seen);
        _tank.Apply(sum, tank, _vessel.Seen);
        Feel(sum, _low);
        Feel(sum, _high);
        VesselUnseenSeconds = _vessel.Reason == Reason.None ? 0 : VesselUnseenSeconds + seconds;
    }

    /// <summary>Turns <paramref name="view"/> into the estimate as seen with what is true now and may not be counted twice.</summary>
    public void Colour(GaussianSum view)
    {
        FloatEvidence.StillDry(view, _low);
        FloatEvidence.StillDry(view, _high);
    }

    public void CopyTo(Evidence other)
    {
        _vesselBlock.CopyTo(other._vesselBlock);
        _tankBlock.CopyTo(other._tankBlock);
        _vessel.CopyTo(other._vessel);
        _tank.CopyTo(other._tank);
        _low.CopyTo(other._low);
        _high.CopyTo(other._high);
        other._tankWatch = _tankWatch;
        other.VesselUnseenSeconds = VesselUnseenSeconds;
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
