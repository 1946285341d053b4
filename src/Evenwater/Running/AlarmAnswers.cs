using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Alarms;

namespace Evenwater.Running;

/// <summary>What people ask about alarms: read from a line, and why it is not done.</summary>
internal static class AlarmAnswers
{
    /// <summary>Longest reason that is kept, characters.</summary>
    public const int LongestReason = 200;

    /// <summary>What is asked, or what is wrong with the asking.</summary>
    public static (AlarmAsk Ask, string? Problem) Read(Verb verb, ControlAsk ask)
    {
        if (verb == Verb.Acknowledge && ask.Alarm is null or "all")
        {
            return (default, null);
        }

        if (AlarmTable.Named(ask.Alarm) is not { } row)
        {
            return (default, $"alarm: \"{ask.Alarm}\" is not one of {string.Join(", ", AlarmTable.All.Select(a => a.Name))}.");
        }

        return ask.Note is { Length: > LongestReason }
            ? (default, $"reason: {ask.Note.Length} characters; allowed is 1 to {LongestReason}.")
            : (new AlarmAsk(row.Id, ask.Seconds ?? 0, ask.Note is { } why ? Page.Plain.Line(why) : null), null);
    }

    /// <summary>Why it was not done, and what to do.</summary>
    public static string Refused(in Effect refused, AlarmAsk ask, StationState state)
    {
        var name = ask.Alarm == AlarmId.None ? "It" : AlarmTable.Of(ask.Alarm).Name;
        var standing = ask.Alarm == AlarmId.None ? AlarmStanding.Normal : state.AlarmOf(ask.Alarm).Standing;
        return (refused.Refusal, refused.Verb) switch
        {
            (Refusal.NeverSilenced, _) => $"Refused: {name} tells of a flood, a leak or a valve that did not close, and is never shelved nor taken out of service. See to it; acknowledge it meanwhile.",
            (Refusal.NoReason, _) => "Refused: the reason is empty. Say why, for who reads the log tomorrow.",
            (Refusal.ShelfTooLong, _) => $"Refused: {ask.Seconds / 3600:0.##} h is how long it was to be put aside; allowed is above 0, to {AlarmAsk.MostShelvedSeconds / 3600:0} h. Shelve it again then, or take it out of service with 'evenwater retire'.",
            (_, Verb.Acknowledge) => $"{name} is {AlarmSentence.Word(standing)}: there is nothing to acknowledge.",
            (_, Verb.Unshelve) => $"{name} is {AlarmSentence.Word(standing)}, not shelved.",
            (_, Verb.Return) => $"{name} is {AlarmSentence.Word(standing)}, not out of service.",
            _ => $"Refused: {name} is {AlarmSentence.Word(standing)} already. {standing switch
            {
                AlarmStanding.Shelved => $"First 'evenwater unshelve {name}', then ask again.",
                AlarmStanding.OutOfService => $"First 'evenwater return {name}', then ask again.",
                _ => "It calls nobody: see to the alarm that tells of what causes it.",
            }}",
        };
    }
}
