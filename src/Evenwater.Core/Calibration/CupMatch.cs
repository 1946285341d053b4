using Evenwater.Core.Stations;

namespace Evenwater.Core.Calibration;

/// <summary>Where the matching of two probes in one cup stands.</summary>
public enum CupState
{
    /// <summary>A reading is missing.</summary>
    NoReading,

    /// <summary>They read too far apart to be in one water.</summary>
    NotOneWater,

    /// <summary>Their thermometers read too far apart to be in one water.</summary>
    NotOneTemperature,

    /// <summary>Not enough samples yet.</summary>
    Looking,

    /// <summary>Enough samples, and their ratio still moves, or scatters too much to say that it does not.</summary>
    Moving,

    /// <summary>The ratio is steady and may be used.</summary>
    Steady,
}

/// <summary>
/// Both conductivity probes, with their thermometers, stand in one cup of water: what the vessel's reads over what the tank's reads is
/// the ratio of their gains. One sample a second or slower; two minutes of them once the probes have settled.
/// </summary>
public sealed class CupMatch
{
    /// <summary>Samples that are looked at: two minutes.</summary>
    public const int Wanted = 120;

    /// <summary>Two cells differ by a few per cent; this far apart they are not in one water. Common practice, no source.</summary>
    public const double MostApart = 0.25;

    /// <summary>Two thermometers in one cup agree within this, °C: each is good to 0.5 °C (DS18B20-type data sheet).</summary>
    public const double MostCelsiusApart = 1;

    /// <summary>
    /// A trend may leave the ratio off by this, 95 % sure: the 95 % point, 1.645 standard deviations, of what it is then said to be known to.
    /// </summary>
    private const double AllowedMove = 1.645 * Probes.MatchedSd;

    /// <summary>Slowest lag of a probe that is allowed for, samples: 120 s, a cell in its tube in still water. Common practice, no source.</summary>
    public const double SlowestLag = 120;

    private readonly Steadiness _lnRatio = new(Wanted, AllowedMove, SlowestLag);
    private MonotonicTime? _last;

    /// <summary>Where it stands.</summary>
    public CupState State { get; private set; } = CupState.NoReading;

    /// <summary>Samples so far.</summary>
    public int Count => _lnRatio.Count;

    /// <summary>The vessel's reading over the tank's; only when there is a sample.</summary>
    public double Ratio => Math.Exp(_lnRatio.Mean);

    /// <summary>
    /// Its standard deviation, as a fraction: the scatter of the samples, and what two minutes do not show, the slow wander of two cells.
    /// </summary>
    public double RelativeSd => Math.Sqrt((_lnRatio.SdOfMean * _lnRatio.SdOfMean) + (Probes.MatchedSd * Probes.MatchedSd));

    /// <summary>Takes the latest readings, once for each new pair of samples.</summary>
    /// <returns>Where it stands now.</returns>
    public CupState Step(in Readings readings)
    {
        var (one, other) = (readings[Channel.VesselConductivity], readings[Channel.TankConductivity]);
        if (!one.TryGet(out var vessel) || !other.TryGet(out var tank) || !(vessel > 0 && tank > 0))
        {
            return Again(CupState.NoReading);
        }

        if (Math.Abs(Math.Log(vessel / tank)) > MostApart)
        {
            return Again(CupState.NotOneWater);
        }

        if (readings[Channel.VesselTemperature].TryGet(out var warm) && readings[Channel.TankTemperature].TryGet(out var cold) && Math.Abs(warm - cold) > MostCelsiusApart)
        {
            return Again(CupState.NotOneTemperature);
        }

        var newest = one.TakenAt < other.TakenAt ? one.TakenAt : other.TakenAt;
        if (newest != _last)
        {
            _last = newest;
            _lnRatio.Add(Math.Log(vessel / tank));
        }

        return State = _lnRatio.Count < Wanted ? CupState.Looking : _lnRatio.IsSteady ? CupState.Steady : CupState.Moving;
    }

    private CupState Again(CupState why)
    {
        _lnRatio.Clear();
        return State = why;
    }
}
