using Evenwater.Core.Estimation;

namespace Evenwater.Core.Alarms;

/// <summary>
/// The alarms' part of a cycle: what a person asked, what has come and gone, what explains what. It reads the run and its trips and changes
/// neither; whatever happens to an alarm in one cycle is one effect.
/// </summary>
internal static class AlarmRound
{
    /// <summary>A critical alarm that nobody has seen calls again after this, s, without end. Common practice, no source.</summary>
    public const double RepeatSeconds = 600;

    /// <summary>
    /// At this call in vain a critical alarm is escalated: nobody has seen it for twenty minutes, so it asks for somebody else. Common practice, no source.
    /// </summary>
    public const int EscalatingCall = 3;

    /// <summary>Moves every alarm on.</summary>
    /// <param name="state">The station, after this cycle's decision.</param>
    /// <param name="samples">What was asked.</param>
    /// <param name="reset">Whether a reset was granted in this cycle.</param>
    /// <param name="now">The cycle's time.</param>
    /// <param name="effects">What came of it.</param>
    public static void Step(StationState state, in Samples samples, bool reset, MonotonicTime now, ref EffectBuffer effects)
    {
        state.LeakSeen = (state.LeakSeen && !reset) || LeakRecognised(state, effects); // what was reset is what was seen before
        var all = samples.Command == Verb.Acknowledge && samples.AlarmAsk.Alarm == AlarmId.None;
        var refusal = AlarmAsk.Concerns(samples.Command) && samples.AlarmAsk.Alarm == AlarmId.None ? Refusal.WrongStanding : Refusal.None;
        foreach (var id in AlarmTable.Order)
        {
            var row = AlarmTable.Of(id);
            ref var alarm = ref state.Alarms[(int)id];
            var (before, called) = (alarm.Standing, false);
            if (AlarmAsk.Event(samples.Command) is { } asked && (all || samples.AlarmAsk.Alarm == id))
            {
                refusal = samples.AlarmAsk.Refused(samples.Command, row, alarm);
                called |= refusal == Refusal.None && Obey(ref alarm, asked, samples.AlarmAsk, row, now);
            }

            // A reset is a person's act: who resets has seen what is reset.
            var resets = reset && (row.Latches || (byte)id <= (byte)AlarmId.LivestockLimit);
            if (resets && alarm.Stands)
            {
                alarm.Take(AlarmEvent.Acknowledge, row, now);
            }

            if (alarm.Settle(AlarmConditions.Of(id, state, samples), row, now, resets || AlarmConditions.IsOver(id, state.Phase)) is { } settled)
            {
                if (row.IsTest && settled == AlarmEvent.Went)
                {
                    alarm.Take(AlarmEvent.Acknowledge, row, now);
                }

                called |= alarm.Take(settled, row, now) == AlarmOutcome.Annunciates;
            }

            if (resets)
            {
                alarm.Take(AlarmEvent.Reset, row, now);
            }

            called |= id == AlarmId.ProbeTrouble && alarm.CallsForFurther(AlarmConditions.TroubledProbes(state), row, now);
            called |= InTime(ref alarm, row, now);
            called |= ByDesign(state, ref alarm, row, now);
            called &= alarm.Standing == AlarmStanding.Unacknowledged;
            alarm.UnseenCalls = called ? alarm.UnseenCalls + 1 : alarm.IsUnseen ? alarm.UnseenCalls : 0;
            if (called || alarm.Standing != before)
            {
                alarm.CalledAt = called ? now : alarm.CalledAt;
                effects.Add(new Effect(EffectKind.AlarmChanged) { Alarm = id, Standing = alarm.Standing, Calls = called });
            }
        }

        if (refusal != Refusal.None && !all)
        {
            effects.Add(new Effect(EffectKind.Refused) { Verb = samples.Command, Refusal = refusal });
        }
    }

    /// <summary>By this cycle's own forecast: the last one, of before a reset, tells of nothing new.</summary>
    private static bool LeakRecognised(StationState state, in EffectBuffer effects) =>
        effects.Has(EffectKind.Evaluated) && (state.Forecast.Events & ForecastEvents.Leak) != 0;

    private static bool Obey(ref AlarmState alarm, AlarmEvent asked, AlarmAsk ask, Alarm row, MonotonicTime now)
    {
        var outcome = alarm.Take(asked, row, now);
        alarm.Why = asked is AlarmEvent.Shelve or AlarmEvent.Retire ? ask.Why : alarm.Why;
        alarm.ShelvedUntil = asked == AlarmEvent.Shelve ? now.Plus(ask.Seconds) : alarm.ShelvedUntil;
        return outcome == AlarmOutcome.Annunciates;
    }

    private static bool InTime(ref AlarmState alarm, Alarm row, MonotonicTime now) => alarm.Standing switch
    {
        AlarmStanding.Shelved when now >= alarm.ShelvedUntil => alarm.Take(AlarmEvent.Unshelve, row, now) == AlarmOutcome.Annunciates,
        AlarmStanding.Acknowledged when now.SecondsSince(alarm.StandingSince) >= row.ReAlarmMinutes * 60 => alarm.Take(AlarmEvent.ReAlarm, row, now) == AlarmOutcome.Annunciates,
        AlarmStanding.Unacknowledged when row.Priority == Priority.Critical && now.SecondsSince(alarm.CalledAt) >= RepeatSeconds && alarm.StandingSince != now =>
            alarm.Take(AlarmEvent.ReAlarm, row, now) == AlarmOutcome.Annunciates,
        _ => false,
    };

    /// <summary>An alarm that another one explains calls nobody; one that is not wrong needs no explaining.</summary>
    private static bool ByDesign(StationState state, ref AlarmState alarm, Alarm row, MonotonicTime now)
    {
        var explained = false;
        foreach (var other in row.SuppressedBy)
        {
            explained |= state.AlarmOf(other).Stands;
        }

        return (explained, alarm.Standing) switch
        {
            (true, not AlarmStanding.Normal) => alarm.Take(AlarmEvent.Suppress, row, now) == AlarmOutcome.Annunciates,
            (false, AlarmStanding.SuppressedByDesign) => alarm.Take(AlarmEvent.Unsuppress, row, now) == AlarmOutcome.Annunciates,
            _ => false,
        };
    }
}
