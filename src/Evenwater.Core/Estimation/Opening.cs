namespace Evenwater.Core.Estimation;

/// <summary>What a run begins with, and what the vessel's own shape does to it.</summary>
internal static class Opening
{
    /// <summary>Stand-in for a conductivity before its probe was seen, µS/cm; replaced whole by the first block.</summary>
    private const double Unseen = 1000;

    /// <summary>How the vessel's water may lie: stirred by the drip, in layers, or with the probe in the plume of the drip.</summary>
    private enum Water
    {
        Stirred,
        Layered,
        Plume,
    }

    public static void Fill(GaussianSum sum, Prior prior)
    {
        sum.Clear();
        if (prior.FlowMillilitresPerMinute is { } flow)
        {
            Add(sum, prior, Math.Log(flow), prior.FlowRelativeSd);
            Reckon(sum);
        }
        else
        {
            var apart = Math.Log(Process.FastestDrip / Process.SlowestDrip) / (Process.UnknownFlows - 1);
            for (var i = 0; i < Process.UnknownFlows; i++)
            {
                // 0.7 of the distance between neighbours makes their sum nearly flat.
                Add(sum, prior, Math.Log(Process.SlowestDrip) + (i * apart), 0.7 * apart);
            }
        }

        sum.Normalise();
    }

    /// <summary>
    /// What has risen to the standpipe stays there. Its volume is then the standpipe's, known as well as that is and for reasons
    /// that have nothing to do with what was believed before.
    /// </summary>
    public static void MindStandpipe(GaussianSum sum, Prior prior)
    {
        if (prior is not { Mode: VesselMode.Standpipe, StandpipeLitres: { } litres })
        {
            return;
        }

        for (var i = 0; i < sum.Count; i++)
        {
            var h = sum[i];
            if (!h.Overflowing && h.Mean[State.LnVolume] >= Math.Log(litres))
            {
                h.Overflowing = true;
                h.Set(State.LnVolume, Math.Log(litres), prior.StandpipeRelativeSd * prior.StandpipeRelativeSd);
            }
        }
    }

    /// <summary>Who holds from the start that the vessel's probe misleads (it may hang in the plume), and reckons with the flow that was timed.</summary>
    private static void Reckon(GaussianSum sum)
    {
        var h = sum.Add();
        sum[0].CopyTo(h);
        h.DoubtsVessel = true;
        h.LogWeight = Math.Log(Process.VesselMisleads);
    }

    private static void Add(GaussianSum sum, Prior prior, double lnFlow, double lnFlowSd)
    {
        foreach (var (clogs, water) in (ReadOnlySpan<(bool, Water)>)[(false, Water.Stirred), (true, Water.Stirred), (false, Water.Layered), (true, Water.Layered), (false, Water.Plume)])
        {
            var h = sum.Add();
            h.Mean.AsSpan().Clear();
            h.Covariance.AsSpan().Clear();
            var (layered, plume) = (water == Water.Layered, water == Water.Plume);
            h.LogWeight = Math.Log(plume ? Process.PlumeChance : layered ? Process.LayeredChance : 1 - Process.LayeredChance - Process.PlumeChance)
                + (plume ? 0 : Math.Log(clogs ? Process.ClogShare : 1 - Process.ClogShare));
            h.Clogs = clogs;
            h.DoubtsTank = false;
            h.DoubtsVessel = false;
            h.LeakFraction = 0;
            h.Overflowing = false;
            h.Set(State.LnVolume, Math.Log(prior.StartVolumeLitres), Square(prior.StartVolumeRelativeSd));
            h.Set(State.LnFlow, lnFlow, Square(lnFlowSd));
            if (prior.FlowMillilitresPerMinute is null)
            {
                // Nobody timed the flow, so only flow by volume will be seen: litres stay as well known as the keeper knew them.
                h.Share(State.LnFlow, State.LnVolume, 1);
            }

            h.Set(State.Drift, clogs ? Process.ClogMean : Process.DriftMean, Square(clogs ? Process.ClogSd : Process.DriftSd));
            h.Set(State.Head, Process.HeadMean, Square(Process.HeadSd));
            h.Set(State.Mixed, Unseen, 0);
            h.Set(State.Probe, Unseen, 0);
            h.Set(State.Tank, Unseen, 0);
            h.Active = State.Usual;
            h.Set(
                State.SlowShare, layered ? Process.LayeredMean : Process.SlowShareMean,
                Square(layered ? Process.LayeredSd : Process.SlowShareSd));
            h.Set(State.Touch, plume ? Process.PlumeMean : Process.TouchMean, Square(plume ? Process.PlumeSd : Process.TouchSd));
            h.Set(State.LagShare, 1, Square(Process.LagShareSd));
            h.Set(State.LnGain, 0, Square(prior.GainRatioRelativeSd));
        }
    }

    private static double Square(double x) => x * x;
}
