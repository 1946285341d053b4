namespace Evenwater.Core.Estimation;

/// <summary>Notices that the flow has jumped: its estimate has left a slow average of itself by more than it is uncertain.</summary>
internal struct FlowWatch
{
    /// <summary>ln flow: a factor of 1.6.</summary>
    private const double Jump = 0.47;
    private const double SettledSd = 0.25;
    private const double SlowSeconds = 3600;
    private double _reference;
    private bool _settled;

    public ForecastEvents Watch(double lnFlow, double sd, double seconds)
    {
        if (!_settled)
        {
            _settled = sd < SettledSd;
            _reference = lnFlow;
            return ForecastEvents.None;
        }

        var apart = lnFlow - _reference;
        if (Math.Abs(apart) > Jump && sd < SettledSd)
        {
            _reference = lnFlow;
            return apart > 0 ? ForecastEvents.FlowUp : ForecastEvents.FlowDown;
        }

        if (sd < SettledSd)
        {
            _reference += apart * (1 - Math.Exp(-seconds / SlowSeconds));
        }

        return ForecastEvents.None;
    }
}
