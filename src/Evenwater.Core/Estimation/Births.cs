namespace Evenwater.Core.Estimation;

/// <summary>What may have changed unseen: the flow jumped, the drip began to clog, the closed valve leaks. Children of the hypotheses that matter.</summary>
internal static class Births
{
    /// <summary>Only so many parents bear, and only if they weigh this much: what hardly counts need not foresee a change of itself.</summary>
    private const int Parents = 4;
    private const double LeastWeight = 0.002;

    /// <summary>So many bear one that doubts the vessel's probe, if they know the flow as well as this: there must be something to go on with.</summary>
    private const int Doubters = 2;

    /// <summary>Changes of the flow during <paramref name="hours"/> with the valve open. The sum is sorted by weight.</summary>
    public static void OfFlow(GaussianSum sum, double hours)
    {
        var (parents, count) = (0, sum.Count);
        for (var i = 0; i < count && parents < Parents && sum.Weight(i) >= LeastWeight; i++)
        {
            var parent = sum[i];
            if (parent.DoubtsVessel)
            {
                continue; // it would not see the jump, and a child that nothing confirms only takes weight away with it
            }

            parents++;

            Jump(sum, parent, Process.SurgeMean, Process.SurgeSd, Process.SurgesPerHour * hours);
            Jump(sum, parent, Process.BlockMean, Process.BlockSd, Process.BlocksPerHour * hours);
            if (!parent.Clogs)
            {
                var clogging = Child(sum, parent, Process.ClogsPerHour * hours);
                clogging.Clogs = true;
                clogging.Set(State.Drift, Process.ClogMean, Process.ClogSd * Process.ClogSd);
            }

            parent.LogWeight += Math.Log(1 - ((Process.SurgesPerHour + Process.BlocksPerHour + Process.ClogsPerHour) * hours));
        }
    }

    /// <summary>The flow of what leaks through a closed valve may jump too.</summary>
    public static void OfLeakingFlow(GaussianSum sum, double hours)
    {
        var parents = Math.Min(sum.Count, sum.Room);
        for (var i = 0; i < parents; i++)
        {
            if (sum[i].Leaks)
            {
                Jump(sum, sum[i], 0, Process.LeakJumpSd, Process.SurgesPerHour * hours);
                sum[i].LogWeight += Math.Log(1 - (Process.SurgesPerHour * hours)); // or leaks would weigh more by a tenth every hour, seen or not
            }
        }
    }

    /// <summary>The closed valve may leak, or begin to.</summary>
    public static void OfLeaks(GaussianSum sum, double chance)
    {
        var fractions = Process.LeakFractions;
        var parents = sum.Count;
        for (var i = 0; i < parents; i++)
        {
            if (sum[i].Leaks || sum.Room < fractions.Length)
            {
                continue;
            }

            foreach (var fraction in fractions)
            {
                Child(sum, sum[i], chance / fractions.Length).LeakFraction = fraction;
            }

            sum[i].LogWeight += Math.Log(1 - chance);
        }
    }

    /// <summary>The tank's reading changes: the water, or only its probe.</summary>
    public static void OfDoubt(GaussianSum sum)
    {
        var parents = Math.Min(sum.Count, Math.Min(Parents, sum.Room));
        for (var i = 0; i < parents; i++)
        {
            if (sum[i].DoubtsTank)
            {
                continue;
            }

            Child(sum, sum[i], Process.TankProbeFaulty).DoubtsTank = true;
            sum[i].LogWeight += Math.Log(1 - Process.TankProbeFaulty);
        }
    }

    /// <summary>The vessel's probe may have begun to drift, unseen during <paramref name="hours"/>. The sum is sorted by weight.</summary>
    public static void OfDriftingProbe(GaussianSum sum, double hours)
    {
        var parents = sum.Doubting() < Process.VesselDriftsMost ? Math.Min(sum.Count, Math.Min(Doubters, sum.Room)) : 0;
        for (var i = 0; i < parents; i++)
        {
            if (!sum[i].DoubtsVessel && sum[i].Sd(State.LnFlow) < Process.KnownFlowSd)
            {
                Child(sum, sum[i], Process.VesselDriftsPerHour * hours).DoubtsVessel = true;
                sum[i].LogWeight += Math.Log(1 - (Process.VesselDriftsPerHour * hours));
            }
        }
    }

    /// <summary>The vessel's probe may have shifted, unseen during <paramref name="hours"/>. The sum is sorted by weight.</summary>
    public static void OfShiftingProbe(GaussianSum sum, double hours)
    {
        var parents = Math.Min(sum.Count, Math.Min(Parents, sum.Room));
        for (var i = 0; i < parents && sum.Weight(i) >= LeastWeight; i++)
        {
            if (!sum[i].DoubtsVessel)
            {
                Child(sum, sum[i], Process.ShiftsPerHour * hours).ShiftVesselProbe(Process.ShiftSd * Process.ShiftSd);
                sum[i].LogWeight += Math.Log(1 - (Process.ShiftsPerHour * hours));
            }
        }
    }

    /// <summary>
    /// The vessel's probe reads otherwise than anybody expects: something sits on it, or it was moved. In its units every water changes, and the ratio of the two gains the other way.
    /// </summary>
    /// <param name="sum">The estimate.</param>
    /// <param name="sd">How far it may have shifted, as a fraction of its reading.</param>
    public static void OfShiftedProbe(GaussianSum sum, double sd)
    {
        var parents = Math.Min(sum.Count, sum.Room);
        for (var i = 0; i < parents; i++)
        {
            if (!sum[i].DoubtsVessel && sum.Weight(i) >= LeastWeight)
            {
                Child(sum, sum[i], Process.ProbeShifts).ShiftVesselProbe(sd * sd);
                sum[i].LogWeight += Math.Log(1 - Process.ProbeShifts);
            }
        }
    }

    private static void Jump(GaussianSum sum, Hypothesis parent, double mean, double sd, double chance)
    {
        var child = Child(sum, parent, chance);
        child.Mean[State.LnFlow] += mean;
        child.Widen(State.LnFlow, sd * sd);
        child.Widen(State.Drift, Process.JumpDriftSd * Process.JumpDriftSd); // what has just changed may go on changing
    }

    private static Hypothesis Child(GaussianSum sum, Hypothesis parent, double chance)
    {
        var child = sum.Add();
        parent.CopyTo(child);
        child.LogWeight += Math.Log(chance);
        return child;
    }
}
