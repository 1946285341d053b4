using Evenwater.Core.Estimation;
using Evenwater.Core.Screening;

namespace Evenwater.Core.Safety;

/// <summary>What asks for a trip now. Each cause stands alone; the first in this order is the one that is told.</summary>
public static class TripCause
{
    /// <summary>Longest a run may drip without a fresh evaluation, s: four half-minute blocks.</summary>
    public const double EvaluationStaleSeconds = 120;

    /// <summary>
    /// A paced valve rests as soon as the water goes too fast, which is what a trip would do and ends no night. It trips when the rest does not help: when a limit
    /// for an hour is exceeded by a tenth.
    /// </summary>
    public const double PacedMargin = 1.1;

    /// <summary>Longest the animals' limits on conductivity may go unwatched because the vessel's probe is not of use, s.</summary>
    public const double UnwatchedSeconds = 600;

    /// <summary>A paced valve that has come as far as a whole run may go would rest for ever, and nobody would hear of it: it trips after this, s, time enough for the forecast to see that the waters are even after all. Common practice, no source.</summary>
    public const double PathEndedSeconds = 600;

    /// <summary>The first cause, or none.</summary>
    /// <param name="state">The station, before this cycle's decision.</param>
    /// <param name="readings">Screened readings.</param>
    /// <param name="logCommits">Whether the log can commit.</param>
    /// <param name="now">The cycle's time.</param>
    public static Trip Of(StationState state, in Readings readings, bool logCommits, MonotonicTime now)
    {
        if (Wet(readings) is var wet and not Trip.None)
        {
            return wet;
        }

        return state.Phase switch
        {
            Phase.Dripping when IsLost(readings) => Trip.SwitchLost,
            Phase.Dripping when !logCommits => Trip.LogLost,
            Phase.Dripping when !state.OpenLoop && AllStale(readings, now) => Trip.Blind,
            Phase.Dripping => WhileDripping(state, now),
            _ => Trip.None,
        };
    }

    /// <summary>What is wet and must not be, or none.</summary>
    public static Trip Wet(in Readings readings) =>
        IsWet(readings[Channel.FloatHigh]) ? Trip.HighFloat : IsWet(readings[Channel.Leak]) ? Trip.Leak : Trip.None;

    /// <summary>Whether everything that only a person can put right is right: dry, answering, committing.</summary>
    public static bool IsClear(in Readings readings, bool logCommits) =>
        !IsWet(readings[Channel.FloatHigh]) && !IsWet(readings[Channel.Leak]) && !IsLost(readings) && logCommits;

    /// <summary>Whether every fitted probe and switch that a run rests on has a good reading.</summary>
    public static bool IsFresh(in Readings readings)
    {
        for (var i = 0; i < Channels.Count; i++)
        {
            if (Channels.IsOfRun((Channel)i) && readings[i].Reason is not (Reason.None or Reason.NotFitted))
            {
                return false;
            }
        }

        return readings[Channel.VesselConductivity].IsGood;
    }

    private static Trip WhileDripping(StationState state, MonotonicTime now)
    {
        if (Spent(state) is var spent and not Trip.None)
        {
            return spent;
        }

        if ((state.HasForecast && state.Forecast.Health == Health.Blind)
            || now.SecondsSince(state.EvaluatedAt) > EvaluationStaleSeconds)
        {
            return Trip.Blind;
        }

        var limits = state.Limits;
        if ((limits.MicrosiemensPerCmPerHour ?? limits.TotalMicrosiemensPerCm) is not null && state.Estimator?.VesselUnheardSeconds > UnwatchedSeconds)
        {
            return Trip.Blind;
        }

        if (state.IsPaced && !state.IsEven && state.Pacer.EndedSeconds(now) > PathEndedSeconds)
        {
            return Trip.LivestockLimit;
        }

        var most = state.IsPaced ? PacedMargin : 1;
        return Exceeds(state.ConductivityRate.PerHour / most, limits.MicrosiemensPerCmPerHour)
            || Exceeds(state.TemperatureRate.PerHour / most, limits.CelsiusPerHour)
            || Exceeds(state.ConductivityRate.FromStart, limits.TotalMicrosiemensPerCm)
            || Exceeds(state.TemperatureRate.FromStart, limits.TotalCelsius)
            ? Trip.LivestockLimit
            : Trip.None;
    }

    /// <summary>
    /// What closing alone does not mend: the room, the time or the water of the run is used up. A run that is spent would trip at
    /// its next cycle, so it is not opened again; another one begins with the volume as it is then.
    /// </summary>
    public static Trip Spent(StationState state)
    {
        var safety = state.Station.Safety;
        // Asked this way round, a chance that is no number closes.
        if (state.HasForecast && !(state.Forecast.BrimProbability <= ClosingRisk.Limit(state)))
        {
            return Trip.OverflowForecast;
        }

        if (state.OpenSeconds >= safety.MaxOpenMinutes * 60)
        {
            return Trip.TimeBudget;
        }

        if (state.InflowLitres >= InflowBudget.Litres(state))
        {
            return Trip.VolumeBudget;
        }

        return state.InflowLitres >= state.Station.Source.MaxDrawLitres ? Trip.SourceDrawn : Trip.None;
    }

    /// <summary>
    /// Whether no probe was read any more, whatever each said last: then it is not a probe that fails but the reading, and nothing is known of either water.
    /// </summary>
    private static bool AllStale(in Readings readings, MonotonicTime now)
    {
        for (var i = 0; i < Channels.Count; i++)
        {
            // Drops are counted by the cycle itself, not read.
            if (!Channels.IsSwitch((Channel)i) && Channels.IsOfRun((Channel)i) && (Channel)i != Channel.Drops && readings[i].Reason != Reason.NotFitted
                && now.SecondsSince(readings[i].TakenAt) <= Screen.ProbeStaleSeconds)
            {
                return false;
            }
        }

        return true;
    }

    private static bool IsWet(in Reading reading) => reading.TryGet(out var value) && value != 0;

    private static bool IsLost(in Readings readings) =>
        IsLost(readings[Channel.FloatHigh]) || IsLost(readings[Channel.Leak]) || IsLost(readings[Channel.FloatLow]);

    private static bool IsLost(in Reading reading) => reading.Reason is not (Reason.None or Reason.NotFitted);

    private static bool Exceeds(double? change, SourcedLimit? limit) => change is { } by && limit is { Value: var most } && Math.Abs(by) > most;
}
