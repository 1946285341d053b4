using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;

namespace Evenwater.Running;

/// <summary>The program's own words for its enumerations, as they stand in the log, on the page and in messages.</summary>
internal static class Words
{
    public static string Of(Phase phase) => phase switch
    {
        Phase.Idle => "idle",
        Phase.Armed => "armed",
        Phase.Dripping => "dripping",
        Phase.Holding => "holding",
        Phase.Tripped => "tripped",
        Phase.Finished => "finished",
        Phase.Abandoned => "abandoned",
        _ => throw new ArgumentOutOfRangeException(nameof(phase), phase, "no word for this phase"),
    };

    public static string Of(Verb verb) => verb switch
    {
        Verb.None => "nothing",
        Verb.Begin => "begin",
        Verb.Close => "close",
        Verb.Reset => "reset",
        Verb.Finish => "finish",
        Verb.Restarted => "restarted",
        Verb.Acknowledge => "acknowledge",
        Verb.Drawn => "drawn",
        Verb.Shelve => "shelve",
        Verb.Unshelve => "unshelve",
        Verb.Retire => "retire",
        Verb.Return => "return",
        _ => throw new ArgumentOutOfRangeException(nameof(verb), verb, "no word for this verb"),
    };

    public static string Of(Priority priority) => priority switch
    {
        Priority.Low => "low",
        Priority.Medium => "medium",
        Priority.High => "high",
        Priority.Critical => "critical",
        _ => throw new ArgumentOutOfRangeException(nameof(priority), priority, "no word for this priority"),
    };

    public static string Of(StateWord word) => word switch
    {
        StateWord.Steady => "Steady",
        StateWord.Look => "Look",
        StateWord.Act => "Act",
        StateWord.CannotTell => "Can't tell",
        _ => throw new ArgumentOutOfRangeException(nameof(word), word, "no word for this state"),
    };

    public static string Of(Reason reason) => reason switch
    {
        Reason.None => "good",
        Reason.NotFitted => "not fitted",
        Reason.NoAnswer => "no answer",
        Reason.OutOfRange => "out of range",
        Reason.Stale => "too old",
        Reason.Stuck => "stuck",
        Reason.TooFast => "jumped",
        Reason.Uncalibrated => "not calibrated",
        Reason.Disagrees => "contradicts the others",
        _ => throw new ArgumentOutOfRangeException(nameof(reason), reason, "no word for this reason"),
    };

    public static string Of(Trip trip) => trip == Trip.None ? "" : AlarmTable.Of((AlarmId)trip).Name;

    /// <summary>What was drawn off, in a sentence.</summary>
    public static string Of(in Drawn drawn) => $"{drawn.Litres:0.###} L were drawn off by hand, good to {drawn.RelativeSd * 100:0.#} %.";

    /// <summary>Why a paced valve turned while it drips.</summary>
    public static string Paced(bool open) => open ? "the water is behind its path" : "the water has caught up with its path";

    /// <summary>Why a phase was entered, in a few words.</summary>
    public static string Why(Phase phase, Trip trip) => phase switch
    {
        Phase.Tripped => AlarmTable.Of((AlarmId)trip).Title,
        Phase.Armed => "the valve is to open",
        Phase.Dripping => "the opening is committed and every probe has answered",
        Phase.Holding => "closed",
        Phase.Finished => "ended after the match",
        Phase.Abandoned => "ended before the match",
        _ => "reset by a person",
    };
}
