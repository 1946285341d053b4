using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;

namespace Evenwater.Running;

/// <summary>What is answered to a person who asked.</summary>
internal static class Answers
{
    /// <summary>The answer after the turn that took the asking.</summary>
    /// <param name="asking">What was asked.</param>
    /// <param name="effects">What came of it.</param>
    /// <param name="before">The phase before.</param>
    /// <param name="state">The station now.</param>
    public static Answer To(Asking asking, in EffectBuffer effects, Phase before, StationState state)
    {
        var name = state.Station.Name;
        foreach (ref readonly var refused in effects)
        {
            if (refused.Kind == EffectKind.Refused)
            {
                return new Answer(false, AlarmAsk.Concerns(refused.Verb) ? AlarmAnswers.Refused(refused, asking.Alarm, state) : Explain(refused.Refusal, refused.Verb, name, state.Phase));
            }
        }

        return new Answer(true, asking.Verb switch
        {
            Verb.Begin when before == Phase.Holding => $"{name} goes on with its run, and opens as soon as that is written down.",
            Verb.Begin => $"{name} opens as soon as the opening is written down.",
            Verb.Close => $"The valve of {name} is closed.",
            Verb.Reset when before == Phase.Tripped => $"{name} may be opened again; it stays closed until you begin.",
            Verb.Reset => $"What was latched among the alarms of {name} is reset; an alarm whose cause is still there stays.",
            Verb.Finish => $"The run of {name} is {Words.Of(state.Phase)}. Look at the animals after 24 hours and after 7 days.",
            Verb.Acknowledge when asking.Alarm.Alarm == AlarmId.None && !Moved(effects) => $"No alarm of {name} waits to be seen. Nothing was changed.",
            Verb.Acknowledge => "Seen. No trip was changed.",
            Verb.Shelve => $"{AlarmTable.Of(asking.Alarm.Alarm).Name} is shelved for {TimeWords.Span(asking.Alarm.Seconds)}; it then calls by itself if it is still so. No trip was changed.",
            Verb.Unshelve => $"{AlarmTable.Of(asking.Alarm.Alarm).Name} is no longer shelved.",
            Verb.Retire => $"{AlarmTable.Of(asking.Alarm.Alarm).Name} is out of service and calls nobody until you return it. No trip was changed.",
            Verb.Return => $"{AlarmTable.Of(asking.Alarm.Alarm).Name} is in service again.",
            Verb.Drawn => $"{asking.Drawn.Litres:0.######} L were drawn off {name}, {state.DrawnOffLitres:0.######} L in all{OfThePlan(state)}. The next forecast, within half a minute, counts with it.{Slip(asking.Drawn.Litres, state)}",
            _ => "Done.",
        });
    }

    /// <summary>Whether any alarm stands otherwise than before.</summary>
    private static bool Moved(in EffectBuffer effects)
    {
        foreach (ref readonly var effect in effects)
        {
            if (effect is { Kind: EffectKind.AlarmChanged, Standing: AlarmStanding.Normal or AlarmStanding.Acknowledged or AlarmStanding.LatchedAcknowledged })
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>More than the forecast has in the vessel is believed, for the forecast may be what is wrong; but it can not be taken back, so it is told how to go on when it was a slip.</summary>
    private static string Slip(double litres, StationState state) => state.HasForecast && state.Forecast.VolumeLitres.P95 is var most && litres >= most
        ? $" The forecast had at most {most.ToString(LitresForm.Of(state.Station.Vessel.BrimLitres))} L in the vessel: if that was a slip, it forecasts wrongly from now on; close the valve, finish the run, and begin another with the volume as it is."
        : "";

    private static string OfThePlan(StationState state) => state.Station.DrawOffs.Count switch
    {
        0 => "; none was planned, so the water that may run in stays as it was",
        var planned when state.DrawOffsTold > planned => "; it was not planned, so the water that may run in stays as it was",
        var planned => $"; {state.DrawOffsTold} of {planned} planned",
    };

    /// <summary>Why a command was not obeyed, and what to do.</summary>
    public static string Explain(Refusal refusal, Verb verb, string station, Phase phase) => (refusal, verb) switch
    {
        (Refusal.WrongPhase, Verb.Begin or Verb.Finish) when phase == Phase.Tripped => $"{station} has tripped: 'evenwater alarms' tells why. Once that is put right reset it, then ask again.",
        (Refusal.WrongPhase, Verb.Reset) => $"{station} has not tripped, and none of its alarms is latched: there is nothing to reset.",
        (Refusal.WrongPhase, Verb.Finish) => $"{station} has no run to finish.",
        (Refusal.WrongPhase, Verb.Drawn) => $"{station} has no run: nothing drawn off can be told. Measure the start volume when one begins.",
        (Refusal.NotThere, _) => $"Refused: so much water can not be in {station}. Say what was taken out, in litres.",
        (Refusal.WrongPhase, _) => $"{station} {(phase == Phase.Armed ? "is about to open" : "drips")} already: there is nothing to begin.",
        (Refusal.NotClear, _) => $"Refused: a float or the leak sensor of {station} is wet or gives no answer. Dry it or mend its wire, then ask again.",
        (Refusal.Latched, _) => $"Refused: an alarm of {station} stays until you reset it. 'evenwater alarms' tells which and what to do; then reset, and ask again.",
        (Refusal.NotFresh, _) => $"Refused: a probe of {station} gives no good reading. Run 'evenwater check', then ask again.",
        (Refusal.LogLost, _) => "Refused: the log can not be written, and nothing opens unrecorded. Check the disk, then ask again.",
        (Refusal.Spent, _) => $"Refused: the run of {station} has used up its room, its time or its water, and would close at once. "
            + "If it is the room: draw water off and tell it with 'evenwater drawn'. Otherwise finish it, and begin another with the volume as it is then.",
        (Refusal.NoRun, _) => $"{station} has no run to go on with.",
        _ => "Done.",
    };
}
