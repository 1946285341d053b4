namespace Evenwater.Core.Estimation;

/// <summary>Notices that the flow has jumped: it is very probably far from a slow average of itself.</summary>
internal struct FlowWatch
{
    /// <summary>ln flow: a factor of 1.5.</summary>
    private const double Far = 0.4;
    private const double SettledSd = 0.3;
    private const double SlowSeconds = 3600;

    /// <summary>ln of how little is left of a drip that has stopped: an eighth.</summary>
    private const double Stopped = 2.08;
    private const double StoppedSure = 0.95;
    private double _reference;
    private double _highest;
    private bool _settled;
    private bool _everSettled;

    /// <summary>
    /// How long the drip has seemed to have stopped although the valve is open, s. A probe that no longer sees the water looks just the same.
    /// </summary>
    public double StoppedSeconds { get; private set; }

    /// <summary>By which factor the flow has just jumped; 1 when it has not.</summary>
    public double JumpedBy { get; private set; }

    /// <summary>Takes the estimate after a block.</summary>
    /// <param name="sum">The estimate.</param>
    /// <param name="seconds">The block, s.</param>
    /// <param name="openSeconds">How long of it the valve was open, s.</param>
    public ForecastEvents Watch(GaussianSum sum, double seconds, double openSeconds)
    {
        JumpedBy = 1;
        var mean = sum.Mean(State.LnFlow);
        Stop(sum, openSeconds);
        var isSettled = sum.Variance(State.LnFlow) < SettledSd * SettledSd;
        if (!_settled)
        {
            _settled = isSettled;
            _reference = mean;
            _highest = _everSettled ? _highest : mean;
            _everSettled |= isSettled;
            return ForecastEvents.None;
        }

        var (above, below) = Beyond(sum);
        if (above > Process.JumpSure || below > Process.JumpSure)
        {
            JumpedBy = Math.Exp(mean - _reference);
            _reference = mean;
            _settled = isSettled;
            return above > Process.JumpSure ? ForecastEvents.FlowUp : ForecastEvents.FlowDown;
        }

        if (isSettled)
        {
            _highest = Math.Max(_highest, mean);
            _reference += (mean - _reference) * (1 - Math.Exp(-seconds / SlowSeconds));
        }

        return ForecastEvents.None;
    }

    private void Stop(GaussianSum sum, double seconds)
    {
        var flows = 0.0;
        var listening = 0.0;
        for (var i = 0; i < sum.Count; i++)
        {
            if (sum[i].DoubtsVessel)
            {
                continue;
            }

            listening += sum.Weight(i);
            flows += sum.Weight(i) * Normal.Cumulative((sum[i].Mean[State.LnFlow] - _highest + Stopped) / Math.Max(sum[i].Sd(State.LnFlow), 1e-3));
        }

        StoppedSeconds = !_everSettled || flows > (1 - StoppedSure) * listening ? 0 : StoppedSeconds + seconds;
    }

    private readonly (double Above, double Below) Beyond(GaussianSum sum)
    {
        var (above, below) = (0.0, 0.0);
        for (var i = 0; i < sum.Count; i++)
        {
            var z = (sum[i].Mean[State.LnFlow] - _reference) / Math.Max(sum[i].Sd(State.LnFlow), 1e-3);
            var far = Far / Math.Max(sum[i].Sd(State.LnFlow), 1e-3);
            above += sum.Weight(i) * Normal.Cumulative(z - far);
            below += sum.Weight(i) * Normal.Cumulative(-z - far);
        }

        return (above, below);
    }
}
