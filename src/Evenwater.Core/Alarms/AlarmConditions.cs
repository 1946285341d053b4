using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;

namespace Evenwater.Core.Alarms;

/// <summary>Whether each alarm's condition is true just now, before its delays. Null is "can not be told", which is never "gone".</summary>
internal static class AlarmConditions
{
    public static bool? Of(AlarmId id, StationState state, in Samples samples) => id switch
    {
        AlarmId.HighFloat => state.HighFloatOnlyMeasures ? FirstTold(id, state) : Wet(id, Channel.FloatHigh, state, InRun(state) || state.Phase is Phase.Armed or Phase.Tripped),
        AlarmId.Leak => Wet(id, Channel.Leak, state, watched: true),
        AlarmId.LogLost => Tripped(id, state) || !samples.LogCommits,
        <= AlarmId.LivestockLimit => Tripped(id, state),
        AlarmId.OverflowWarning => Overflow(state),
        AlarmId.ProbeTrouble => TroubledProbes(state) != 0,
        AlarmId.ProbesSwapped => InRun(state) && state.HasForecast && state.Forecast.ProbesSwapped,
        AlarmId.DripStopped => state.Phase == Phase.Holding && !state.WasEven && !state.IsEven, // closed by hand while they are even, it says nothing that is not so
        AlarmId.DripSlow => Slow(state),
        AlarmId.FlowWhileClosed => state.LeakSeen,
        AlarmId.ProofOverdue => samples.ProofOverdue,
        AlarmId.SendingRefused => samples.SendingRefused,
        AlarmId.WeeklyTest => samples.TestCalls,
        AlarmId.DiskShort => samples.DiskRoom >= DiskRoom.Short,
        AlarmId.TankConductivity => TankConditions.Conductivity(state),
        AlarmId.TankTemperature => TankConditions.Temperature(state),
        AlarmId.RoutineOverdue => samples.RoutineOverdue,
        AlarmId.DiskNearlyFull => samples.DiskRoom == DiskRoom.NearlyFull,
        AlarmId.NoLongerEven => Waiting.EvenStill.No(state, state.AlarmOf(id).Active),
        AlarmId.ReleaseDue => Release(state),
        AlarmId.OutcomeDue => samples.OutcomeDue,
        AlarmId.TankUnwatched => !InRun(state) && TankConditions.Unwatched(state), // in a run ProbeTrouble tells of it
        AlarmId.BoardMissing => samples.BoardMissing,
        _ => null,
    };

    /// <summary>
    /// Whether it tells of a drip that has ended, or of still water that runs again or that nobody waits in any more. Such an alarm has gone at once: through its
    /// off-delay it would say of the valve what is no longer so. A run that is about to open is neither.
    /// </summary>
    public static bool IsOver(AlarmId id, Phase phase) => id switch
    {
        AlarmId.OverflowWarning or AlarmId.DripSlow => phase is not (Phase.Armed or Phase.Dripping),
        AlarmId.NoLongerEven or AlarmId.ReleaseDue => phase is Phase.Dripping or Phase.Finished or Phase.Abandoned,
        _ => false,
    };

    private static bool InRun(StationState state) => state.Phase is Phase.Dripping or Phase.Holding;

    private static bool Tripped(AlarmId id, StationState state) => state.Phase == Phase.Tripped && (byte)state.Trip == (byte)id;

    /// <summary>A trip that only the log knew of has its alarm too, once; after that the switch tells.</summary>
    private static bool FirstTold(AlarmId id, StationState state) => Tripped(id, state) && state.AlarmOf(id).Standing == AlarmStanding.Normal;

    private static bool? Wet(AlarmId id, Channel channel, StationState state, bool watched)
    {
        var reading = state.Readings[channel];
        return FirstTold(id, state) ? true
            : !watched || reading.Reason == Reason.NotFitted ? false
            : reading.TryGet(out var wet) ? wet != 0
            : null;
    }

    private static bool? Overflow(StationState state)
    {
        if (state.Phase != Phase.Dripping || Evenness.ClosesBeforeMark(state))
        {
            return false;
        }

        var setpoint = AlarmTable.Of(AlarmId.OverflowWarning).Setpoint;
        var times = setpoint.Value - (state.AlarmOf(AlarmId.OverflowWarning).Active ? setpoint.Deadband : 0);
        return state.HasForecast && !(state.Forecast.QuietBrimProbability <= times * ClosingRisk.Limit(state));
    }

    /// <summary>What a lost thermometer no longer tells of has not gone. A trip takes no animal out of the vessel: in one, too, they wait in still water.</summary>
    private static bool? Release(StationState state)
    {
        var setpoint = AlarmTable.Of(AlarmId.ReleaseDue).Setpoint;
        var minutes = setpoint.Value + (state.AlarmOf(AlarmId.ReleaseDue).Active ? setpoint.Deadband : 0);
        if (Waiting.Waits.Of(state) is not { } wait)
        {
            return false;
        }

        var told = state.Readings[Channel.VesselTemperature].IsGood && state.Readings[Channel.TankTemperature].Reason is Reason.None or Reason.NotFitted;
        return wait.Seconds <= minutes * 60 ? true : told ? false : null;
    }

    private static bool? Slow(StationState state)
    {
        if (state.Phase != Phase.Dripping || state.IsEven || !state.HasForecast)
        {
            return false;
        }

        var setpoint = AlarmTable.Of(AlarmId.DripSlow).Setpoint;
        var share = setpoint.Value + (state.AlarmOf(AlarmId.DripSlow).Active ? setpoint.Deadband : 0);
        return state.Forecast.Health == Health.Blind ? null
            : state.Forecast.FlowMillilitresPerMinute.P95 < share * (state.Run!.Prior.FlowMillilitresPerMinute ?? 0);
    }

    /// <summary>The probes of a run that are not believed just now, one bit for each channel. The switches have alarms and trips of their own.</summary>
    public static ushort TroubledProbes(StationState state)
    {
        if (!InRun(state))
        {
            return 0;
        }

        var (troubled, readings) = (0, state.Readings);
        for (var i = 0; i < Channels.Count; i++)
        {
            if (!Channels.IsSwitch((Channel)i) && Channels.IsOfRun((Channel)i) && readings[i].Reason is not (Reason.None or Reason.NotFitted))
            {
                troubled |= 1 << i;
            }
        }

        return (ushort)troubled;
    }
}
