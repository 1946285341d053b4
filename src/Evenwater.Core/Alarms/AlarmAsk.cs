namespace Evenwater.Core.Alarms;

/// <summary>What a person asks about one alarm, with the verbs that are about alarms.</summary>
/// <param name="Alarm">Which; none with acknowledge means all.</param>
/// <param name="Seconds">With shelve: for how long, s, above 0, to <see cref="MostShelvedSeconds"/>.</param>
/// <param name="Why">With shelve and retire: why, not empty.</param>
public readonly record struct AlarmAsk(AlarmId Alarm, double Seconds = 0, string? Why = null)
{
    /// <summary>Longest that an alarm may be shelved, s: 8 h, a shift. Common practice, no source. Longer is refused, not shortened.</summary>
    public const double MostShelvedSeconds = 8 * 3600;

    /// <summary>Whether a verb is about alarms alone: it moves no valve, no trip and no run.</summary>
    public static bool Concerns(Verb verb) => Event(verb) is not null;

    /// <summary>What a verb is to the table; null when it is about something else.</summary>
    internal static AlarmEvent? Event(Verb verb) => verb switch
    {
        Verb.Acknowledge => AlarmEvent.Acknowledge,
        Verb.Shelve => AlarmEvent.Shelve,
        Verb.Unshelve => AlarmEvent.Unshelve,
        Verb.Retire => AlarmEvent.Retire,
        Verb.Return => AlarmEvent.Return,
        _ => null,
    };

    /// <summary>Why it may not be done to an alarm that stands so, or none.</summary>
    internal Refusal Refused(Verb verb, Alarm row, in AlarmState state)
    {
        if (verb is Verb.Shelve or Verb.Retire)
        {
            if (!row.MayBeSilenced)
            {
                return Refusal.NeverSilenced;
            }

            if (string.IsNullOrWhiteSpace(Why))
            {
                return Refusal.NoReason;
            }

            if (verb == Verb.Shelve && !(Seconds is > 0 and <= MostShelvedSeconds))
            {
                return Refusal.ShelfTooLong;
            }
        }

        var facts = new AlarmFacts(state.Active, row.Latches, row.MayBeSilenced);
        return AlarmTransitions.Next(state.Standing, Event(verb)!.Value, facts).Outcome == AlarmOutcome.Rejected ? Refusal.WrongStanding : Refusal.None;
    }
}
