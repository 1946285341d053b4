using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;
using Evenwater.Hardware.Trace;

namespace Evenwater.Running;

/// <summary>What a replayed trace came to.</summary>
/// <param name="Rows">Rows read.</param>
/// <param name="Evaluations">Forecasts made.</param>
/// <param name="Rejected">Rows left out.</param>
/// <param name="Described">The first of them.</param>
/// <param name="Decision">When the program would have closed.</param>
internal sealed record TraceOutcome(long Rows, long Evaluations, long Rejected, IReadOnlyList<RejectedRow> Described, TraceDecision Decision)
{
    /// <summary>The time of its last row, s: of what comes later nothing can be judged.</summary>
    public double EndsAtSeconds { get; init; } = double.PositiveInfinity;

    /// <summary>What was wrong with the input, a line each.</summary>
    public IEnumerable<string> Complaints(int mostRows)
    {
        foreach (var row in Described.Take(mostRows))
        {
            yield return $"rejected {row}";
        }

        if (Rejected > Math.Min(mostRows, Described.Count))
        {
            yield return $"{HowMany.Of(Rejected, "row")} rejected in all";
        }
    }
}

/// <summary>When the program would first have closed for safety, why, and since when it had warned.</summary>
/// <param name="ClosedAt">s of the trace; null: it would have stayed open.</param>
/// <param name="Trip">The first reason.</param>
/// <param name="WarnedAt">Since when the overflow warning stood; null: it does not stand, or did not when the valve closed.</param>
internal readonly record struct TraceDecision(double? ClosedAt, Trip Trip, double? WarnedAt)
{
    public static TraceDecision StaysOpen => new(null, Trip.None, null);

    /// <summary>The reason as far as it was known at a moment.</summary>
    public Trip TripAt(double seconds) => ClosedAt <= seconds ? Trip : Trip.None;

    /// <summary>The decision after one more cycle: the first closing stands.</summary>
    public TraceDecision After(StationState state, in EffectBuffer effects, double seconds)
    {
        if (ClosedAt is not null)
        {
            return this;
        }

        if (state.Phase == Phase.Tripped)
        {
            return this with { ClosedAt = seconds, Trip = state.Trip };
        }

        var warned = WarnedAt;
        foreach (ref readonly var effect in effects)
        {
            warned = effect switch
            {
                { Kind: EffectKind.AlarmChanged, Alarm: AlarmId.OverflowWarning, Standing: AlarmStanding.Unacknowledged } => warned ?? seconds,
                { Kind: EffectKind.AlarmChanged, Alarm: AlarmId.OverflowWarning } => null,
                _ => warned,
            };
        }

        return this with { WarnedAt = warned };
    }
}

/// <summary>One forecast of a trace, and whether the program would have closed by then.</summary>
/// <param name="Seconds">s of the trace, from which the forecast counts.</param>
/// <param name="Forecast">The forecast.</param>
/// <param name="Trip">Why it would have closed, or none.</param>
internal readonly record struct Evaluation(double Seconds, Forecast Forecast, Trip Trip)
{
    /// <summary>The same forecast, told a little later.</summary>
    public static Evaluation Later(in Forecast forecast, double seconds, Trip trip)
    {
        var late = seconds - forecast.At.Seconds;
        return new Evaluation(seconds, forecast with { MatchSeconds = Less(forecast.MatchSeconds, late), BrimSeconds = Less(forecast.BrimSeconds, late), Events = ForecastEvents.None }, trip);
    }

    /// <summary>As a row of the forecast file.</summary>
    public void WriteTo(ForecastFile file) => file.Write(Seconds, Forecast, Trip == Trip.None, Trip == Trip.None ? null : Words.Of(Trip));

    private static Quantiles Less(in Quantiles q, double s) =>
        new(Math.Max(q.P05 - s, 0), Math.Max(q.P25 - s, 0), Math.Max(q.P50 - s, 0), Math.Max(q.P75 - s, 0), Math.Max(q.P95 - s, 0));
}
