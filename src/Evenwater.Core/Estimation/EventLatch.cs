namespace Evenwater.Core.Estimation;

/// <summary>Says each thing once when it begins, not at every block while it lasts.</summary>
internal struct EventLatch
{
    /// <summary>What was told is not told again until it has become this unlikely.</summary>
    private const double NoLongerSure = 0.2;

    private ForecastEvents _lasting;

    public ForecastEvents New(GaussianSum sum, Evidence evidence)
    {
        var leaking = 0.0;
        for (var i = 0; i < sum.Count; i++)
        {
            leaking += IsTold(sum[i]) ? sum.Weight(i) : 0;
        }

        var now = (leaking > ((_lasting & ForecastEvents.Leak) != 0 ? NoLongerSure : Process.LeakSure) ? ForecastEvents.Leak : 0)
            | (evidence.Swapped ? ForecastEvents.Swapped : 0)
            | (evidence.TankChanging ? ForecastEvents.TankChange : 0)
            | (IsTrouble(evidence.VesselReason) ? ForecastEvents.ProbeVessel : 0)
            | (IsTrouble(evidence.TankReason) ? ForecastEvents.ProbeTank : 0);
        var fresh = now & ~_lasting;
        _lasting = now;
        return fresh;
    }

    private static bool IsTold(Hypothesis h) => h.LeakFraction * Math.Exp(h.Mean[State.LnFlow]) >= Process.LeastLeak;

    private static bool IsTrouble(Reason reason) => reason is not (Reason.None or Reason.NotFitted);
}
