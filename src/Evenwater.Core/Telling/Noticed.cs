using Evenwater.Core.Estimation;

namespace Evenwater.Core.Telling;

/// <summary>What the forecast has newly recognised in this run, and when: kept so that the words can tell of it for a while.</summary>
public struct Noticed
{
    private MonotonicTime _flowAt;
    private MonotonicTime _tankAt;
    private MonotonicTime _vesselProbeAt;
    private MonotonicTime _tankProbeAt;
    private ForecastEvents _ever;
    private double _flowFactor;
    private MonotonicTime _matchUntoldAt;
    private bool _matchWasUntold;

    /// <summary>Takes what one evaluation has recognised.</summary>
    public void Note(in Forecast forecast)
    {
        var events = forecast.Events;
        if ((events & (ForecastEvents.FlowUp | ForecastEvents.FlowDown)) != 0)
        {
            (_flowAt, _flowFactor) = (forecast.At, forecast.FlowFactor);
        }

        _tankAt = events.HasFlag(ForecastEvents.TankChange) ? forecast.At : _tankAt;
        _vesselProbeAt = events.HasFlag(ForecastEvents.ProbeVessel) ? forecast.At : _vesselProbeAt;
        _tankProbeAt = events.HasFlag(ForecastEvents.ProbeTank) ? forecast.At : _tankProbeAt;
        _ever |= events;
        if (forecast.MatchSeconds.CannotTell)
        {
            (_matchUntoldAt, _matchWasUntold) = (forecast.At, true);
        }
    }

    /// <summary>When the flow last jumped and by which factor; null when it never has.</summary>
    public readonly (MonotonicTime At, double Factor)? Flow =>
        (_ever & (ForecastEvents.FlowUp | ForecastEvents.FlowDown)) != 0 ? (_flowAt, _flowFactor) : null;

    /// <summary>When the range of the match was last too wide to be an answer; null when it never was.</summary>
    public readonly MonotonicTime? MatchUntold => _matchWasUntold ? _matchUntoldAt : null;

    /// <summary>When the tank's water last began to change; null when it never has.</summary>
    public readonly MonotonicTime? Tank => _ever.HasFlag(ForecastEvents.TankChange) ? _tankAt : null;

    /// <summary>When the vessel's probe was last found not to be believed; null when it never was.</summary>
    public readonly MonotonicTime? VesselProbe => _ever.HasFlag(ForecastEvents.ProbeVessel) ? _vesselProbeAt : null;

    /// <summary>The same of the tank's probe.</summary>
    public readonly MonotonicTime? TankProbe => _ever.HasFlag(ForecastEvents.ProbeTank) ? _tankProbeAt : null;
}
