namespace Evenwater.Core.Estimation;

/// <summary>Whether the two conductivity probes have just been exchanged.</summary>
internal enum Exchange
{
    /// <summary>Nothing looks like it.</summary>
    No,

    /// <summary>It looks like it, and what the probes say is not used until it is clear.</summary>
    Suspected,

    /// <summary>They have.</summary>
    Done,
}

/// <summary>
/// Notices that each probe reads, all at once, what the other should: somebody has put them back the wrong way round. One of them may not be
/// believed yet while the other already is, since both have just leapt.
/// </summary>
internal struct ExchangeWatch
{
    /// <summary>So many blocks must look exchanged before it is believed.</summary>
    private const int SureBlocks = 3;

    /// <summary>So many blocks it may look so with one probe alone, until that probe is believed.</summary>
    private const int PatientBlocks = 10;

    /// <summary>Waters nearer than this are not told from each other, as a fraction of the tank's.</summary>
    private const double LeastApart = 0.06;

    /// <summary>A reading this near to what the other probe should read looks exchanged, as a fraction of the distance between the two.</summary>
    private const double Near = 0.25;

    private int _both;
    private int _one;

    /// <summary>Takes one block of each probe.</summary>
    /// <param name="sum">The estimate before it.</param>
    /// <param name="vessel">The vessel's block.</param>
    /// <param name="tank">The tank's block.</param>
    /// <param name="bothSeen">Whether there is an estimate of both waters yet.</param>
    public Exchange Watch(GaussianSum sum, in Block vessel, in Block tank, bool bothSeen)
    {
        var inVessel = sum.Mean(State.Probe);
        var inTank = sum.Mean(State.Tank);
        var apart = Math.Abs(inVessel - inTank);
        if (!bothSeen || apart <= LeastApart * inTank)
        {
            (_both, _one) = (0, 0);
            return Exchange.No;
        }

        var vesselLooks = vessel.IsGood && Math.Abs(vessel.Mean - inTank) < Near * apart;
        var tankLooks = tank.IsGood && Math.Abs(tank.Mean - inVessel) < Near * apart;
        _one = (vesselLooks && !tank.IsGood) || (tankLooks && !vessel.IsGood) ? _one + 1 : 0;
        _both = vesselLooks && tankLooks ? _both + 1 : 0;
        if (_both < SureBlocks)
        {
            return _both > 0 || _one is > 0 and <= PatientBlocks ? Exchange.Suspected : Exchange.No;
        }

        (_both, _one) = (0, 0);
        return Exchange.Done;
    }
}
