using Evenwater.Core.Estimation;

namespace Evenwater.Core.Safety;

/// <summary>When the waters count as even, so that the run closes as planned.</summary>
/// <remarks>
/// An early closing costs the night before the match and nothing after it. So the nearer the risk comes to the limit at which the forecast closes
/// whatever the waters are, the less sure it need be: a planned closing that says how sure it is, in place of an alarm.
/// </remarks>
internal static class Evenness
{
    /// <summary>How sure the estimate must be that the waters are even, 0 to 1. Common practice, no source.</summary>
    public const double Sure = 0.95;

    /// <summary>How sure it must be when the forecast is about to close, 0 to 1: more likely even than not.</summary>
    public const double RatherSure = 0.5;

    /// <summary>The mark is near from this share of the closing risk on, and here from that on.</summary>
    private const double Near = 0.4;

    /// <inheritdoc cref="Near"/>
    private const double Here = 0.9;

    /// <summary>Probability that the waters are even in what this run goes by, 0 to 1.</summary>
    public static double Likely(StationState state) =>
        state.OpenLoop ? state.Forecast.MatchedProbability : state.Forecast.EvenProbability;

    /// <summary>Whether it is more likely even than not, and so closes as planned before the mark. Of a trace, whose valve nobody moves, never.</summary>
    public static bool ClosesBeforeMark(StationState state) =>
        !state.OpenLoop && state.HasForecast && state.TemperaturesAreEven && Likely(state) >= RatherSure;

    /// <summary>Judges the latest forecast.</summary>
    public static void Judge(StationState state, MonotonicTime now)
    {
        state.TemperaturesAreEven = TemperaturesEven(state);
        var needed = Needed(state);
        var near = needed < Sure;
        var even = Likely(state) >= (state is { ClosesNearMark: true, Phase: Phase.Holding } ? RatherSure : needed)
            && state.Forecast.Health != Health.Blind
            && state.TemperaturesAreEven;
        if (even && !state.IsEven)
        {
            state.EvenSince = now;
        }

        state.IsEven = even;
        state.ClosesNearMark = state.Phase == Phase.Dripping ? even && near : state.ClosesNearMark;
        state.WasEven |= even && (near || HasDwelt(state, now));
    }

    /// <summary>Whether they are even and have been so for long enough now, whatever they were earlier in this run: one that goes on after they drifted apart dwells again.</summary>
    public static bool Closes(StationState state, MonotonicTime now) => state.IsEven && (state.ClosesNearMark || HasDwelt(state, now));

    private static bool HasDwelt(StationState state, MonotonicTime now) => now.SecondsSince(state.EvenSince) >= state.Station.Match.DwellMinutes * 60;

    /// <summary>How sure it must be, 0 to 1, at a risk of passing the mark and the largest at which the valve may stay open.</summary>
    internal static double Needed(double brimProbability, double limit) =>
        Sure - ((Sure - RatherSure) * Math.Clamp(((brimProbability / Math.Max(limit, double.Epsilon)) - Near) / (Here - Near), 0, 1));

    private static double Needed(StationState state) =>
        state.Phase == Phase.Dripping && !state.OpenLoop ? Needed(state.Forecast.BrimProbability, ClosingRisk.Limit(state)) : Sure;

    /// <summary>Without a tank thermometer the temperature can not be judged and does not hold the match back.</summary>
    private static bool TemperaturesEven(StationState state)
    {
        var readings = state.Readings;
        if (readings[Channel.TankTemperature].Reason == Reason.NotFitted)
        {
            return true;
        }

        return readings[Channel.VesselTemperature].TryGet(out var vessel)
            && readings[Channel.TankTemperature].TryGet(out var tank)
            && Math.Abs(vessel - tank) <= state.Station.Match.TemperatureToleranceCelsius;
    }
}
