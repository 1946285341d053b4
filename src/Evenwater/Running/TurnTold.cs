using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;
using Evenwater.Core.Waiting;

namespace Evenwater.Running;

/// <summary>
/// What each turn of a station leaves behind, after the valve was told: its entries in the log, the answer to who asked, the sentence, and what is shown of the alarms.
/// Called by the station's own thread.
/// </summary>
/// <param name="state">The station's memory, as the turn left it.</param>
/// <param name="recorder">Writes the log.</param>
/// <param name="clock">The station's.</param>
internal sealed class TurnTold(StationState state, Recorder recorder, StationClock clock)
{
    /// <summary>The alarms are shown anew when one changes, and this often, s, so that their figures and times do not grow old.</summary>
    private const double AlarmsEverySeconds = 30;

    private IReadOnlyList<string> _releaseSteps = [];
    private MonotonicTime _nextAlarms;
    private bool _alarmsChanged;

    /// <summary>The latest sentence.</summary>
    public Say Say { get; private set; } = Sentence.Of(state, null);

    /// <summary>When it was made.</summary>
    public MonotonicTime SaidAt { get; private set; }

    /// <summary>The alarms as they are shown.</summary>
    public AlarmsShown Alarms { get; private set; } = AlarmsShown.Of(state, recorder.Tally, clock, state.LastStepAt);

    /// <summary>What happened lately.</summary>
    public RunEvents Events { get; set; } = new();

    /// <summary>Whether the valve was told to be open, last.</summary>
    public bool ValveOpen { get; private set; }

    /// <summary>Whether the log knows that a person was shown the cautions.</summary>
    public bool CautionsRead { get; set; }

    /// <summary>What ends the run step by step. From any thread.</summary>
    public IReadOnlyList<string> ReleaseSteps => Volatile.Read(ref _releaseSteps);

    /// <summary>Records the turn, and answers.</summary>
    /// <param name="asking">Who asked; null when nobody did.</param>
    /// <param name="raw">What the devices gave.</param>
    /// <param name="samples">What the cycle was given.</param>
    /// <param name="effects">What it decided.</param>
    /// <param name="before">The phase before it.</param>
    /// <param name="now">When it was.</param>
    /// <returns>The commit of an opening that is asked for; null without one.</returns>
    public Task? Record(Asking? asking, in RawSamples raw, in Samples samples, in EffectBuffer effects, Phase before, MonotonicTime now)
    {
        recorder.Cycle(raw, samples, state, now);
        var open = state.HoldsOpen;
        foreach (ref readonly var effect in effects)
        {
            recorder.Effect(effect, state, now);
            Events.Add(effect, now);
        }

        _alarmsChanged |= effects.Has(EffectKind.AlarmChanged);

        if (before != Phase.Holding && state.Phase == Phase.Holding && Waits.Of(state) is { } wait)
        {
            recorder.Event("release-by", Waits.Sentence(state, wait, clock.WallAt(now), clock.Zone), state, now);
        }

        var restarted = asking is { Verb: Verb.Restarted }; // what the log told last may be an opening
        if (open != ValveOpen || restarted)
        {
            var why = restarted ? "the program was started again" : state.Phase == Phase.Dripping && state.IsPaced ? Words.Paced(open) : Words.Why(state.Phase, state.Trip);
            recorder.Valve(open, why, state, now);
            ValveOpen = open;
        }

        if (asking is not null)
        {
            var answer = Answers.To(asking, effects, before, state);
            recorder.Command(asking, answer, state, now);
            asking.Reply(answer);
            if (answer.Obeyed && samples.Start is { Animals: { } animals } begun && ReferenceEquals(state.Run, begun))
            {
                recorder.Animals(animals, state, now);
            }

            if (answer.Obeyed && asking is { Verb: Verb.Begin, By: "socket" } && !CautionsRead)
            {
                CautionsRead = true;
                recorder.Event(StationLoop.CautionsRead, "Begun by a person, who was shown the cautions.", state, now);
            }
        }

        // With the command that asked for it: a start that finds the opening must find whose it was.
        var committing = effects.Has(EffectKind.AskOpening) ? recorder.CommitAsync() : null;
        if (asking is not null || Changed(effects) || recorder.OwesAWord(now))
        {
            Say = Sentence.Of(state, clock.WallAt(now), clock.Zone);
            SaidAt = now;
            recorder.Say(Say, state, now);
        }

        return committing;
    }

    private static bool Changed(in EffectBuffer effects)
    {
        foreach (ref readonly var effect in effects)
        {
            if (effect.Kind is not EffectKind.Lease)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Afterwards: what is looked up by others and changes seldom.</summary>
    public void Show(Phase before, MonotonicTime now)
    {
        if (state.Phase != before || now >= _nextAlarms)
        {
            Volatile.Write(ref _releaseSteps, Core.Waiting.ReleaseSteps.Of(state));
        }

        if (_alarmsChanged || now >= _nextAlarms)
        {
            Alarms = AlarmsShown.Of(state, recorder.Tally, clock, now);
            (_alarmsChanged, _nextAlarms) = (false, now.Plus(AlarmsEverySeconds));
        }
    }
}
