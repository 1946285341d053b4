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
/// believed yet while the other already is, since both have just leapt; and a probe that lags comes to the other's water over minutes, in which the
/// quicker one must not be taken for a tank whose water is changed. So what the two waters were when both began to leap is kept.
/// </summary>
internal struct ExchangeWatch
{
    /// <summary>So many blocks must look exchanged before it is believed.</summary>
    private const int SureBlocks = 3;

    /// <summary>So many blocks it may look so with one probe alone, until that probe is believed.</summary>
    private const int PatientBlocks = 10;

    /// <summary>So many blocks two probes that leapt towards each other may take to arrive: four times a slow probe's lag of 2 min.</summary>
    private const int LeapBlocks = 16;

    /// <summary>Waters nearer than this are not told from each other, as a fraction of the tank's.</summary>
    private const double LeastApart = 0.06;

    /// <summary>A reading this near to what the other probe should read looks exchanged, as a fraction of the distance between the two.</summary>
    private const double Near = 0.25;

    /// <summary>Within one block no vessel and no tank goes this share of the way to the other, let alone both.</summary>
    private const double Leap = 0.08;

    private int _both;
    private int _one;
    private int _leapt;
    private bool _alone;
    private double _vesselBefore;
    private double _tankBefore;

    /// <summary>Takes one block of each probe.</summary>
    /// <param name="sum">The estimate before it.</param>
    /// <param name="vessel">The vessel's block.</param>
    /// <param name="tank">The tank's block.</param>
    /// <param name="bothSeen">Whether there is an estimate of both waters yet.</param>
    public Exchange Watch(GaussianSum sum, in Block vessel, in Block tank, bool bothSeen)
    {
        if (_leapt == 0)
        {
            (_vesselBefore, _tankBefore) = (sum.Mean(State.Probe), sum.Mean(State.Tank));
        }

        var apart = _vesselBefore - _tankBefore;
        if (!bothSeen || Math.Abs(apart) <= LeastApart * _tankBefore)
        {
            this = default;
            return Exchange.No;
        }

        // How far each has come to the other's water: 0 stayed, 1 arrived.
        var vesselWay = vessel.IsGood ? (_vesselBefore - vessel.Mean) / apart : 0;
        var tankWay = tank.IsGood ? (tank.Mean - _tankBefore) / apart : 0;
        var vesselLooks = Math.Abs(vesselWay - 1) < Near;
        var tankLooks = Math.Abs(tankWay - 1) < Near;
        _one = (vesselLooks && !tank.IsGood) || (tankLooks && !vessel.IsGood) ? _one + 1 : 0;
        _both = vesselLooks && tankLooks ? _both + 1 : 0;
        _leapt = Leaps(vesselWay) && Leaps(tankWay) ? _leapt + 1 : 0;

        // Taken out at the end of a block, the quicker one leaps a block earlier: it is waited for once.
        var alone = _leapt == 0 && (Leaps(vesselWay) || Leaps(tankWay));
        var first = alone && !_alone;
        _alone = alone;
        if (_leapt > 2 * LeapBlocks)
        {
            this = default; // both leapt and did not arrive: by now the estimate has followed them
            return Exchange.No;
        }

        if (_both < SureBlocks)
        {
            return _both > 0 || _one is > 0 and <= PatientBlocks || first || _leapt is > 0 and <= LeapBlocks ? Exchange.Suspected : Exchange.No;
        }

        this = default;
        return Exchange.Done;
    }

    private static bool Leaps(double way) => way is > Leap and < 1 + Near;
}
