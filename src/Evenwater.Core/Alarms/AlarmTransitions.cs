using static Evenwater.Core.Alarms.AlarmEvent;
using static Evenwater.Core.Alarms.AlarmOutcome;
using static Evenwater.Core.Alarms.AlarmStanding;

namespace Evenwater.Core.Alarms;

/// <summary>
/// The one table of all alarms: standing and event give standing and outcome. Rows A to I are ISA-18.2's state diagram as implementers tell it;
/// the repeat of an alarm that nobody has seen is our own. What the diagram does not know is rejected; what is no standing at all calls a person.
/// </summary>
public static class AlarmTransitions
{
    /// <summary>The next standing and what comes of it.</summary>
    public static (AlarmStanding Next, AlarmOutcome Outcome) Next(AlarmStanding standing, AlarmEvent happened, AlarmFacts facts) => (standing, happened) switch
    {
        (Normal, Came) => (Unacknowledged, Annunciates),

        (Unacknowledged, Acknowledge) => (Acknowledged, Quiet),
        (Unacknowledged, Went) => (facts.Latches ? LatchedUnacknowledged : ReturnedUnacknowledged, Quiet),
        (Unacknowledged, ReAlarm) => (Unacknowledged, Annunciates),

        (Acknowledged, Went) => (facts.Latches ? LatchedAcknowledged : Normal, Quiet),
        (Acknowledged, ReAlarm) => (Unacknowledged, Annunciates),

        (ReturnedUnacknowledged, Acknowledge) => (Normal, Quiet),
        (ReturnedUnacknowledged, Came) => (Unacknowledged, Annunciates),

        (LatchedUnacknowledged, Acknowledge) => (LatchedAcknowledged, Quiet),
        (LatchedUnacknowledged, Came) => (Unacknowledged, Annunciates),

        (LatchedAcknowledged, Reset) when !facts.Active => (Normal, Quiet),
        (LatchedAcknowledged, Came) => (Unacknowledged, Annunciates),

        ( <= LatchedAcknowledged, Shelve) when facts.MayBeSilenced => (Shelved, Quiet),
        ( <= LatchedAcknowledged, Retire) when facts.MayBeSilenced => (OutOfService, Quiet),
        ( <= LatchedAcknowledged, Suppress) => (SuppressedByDesign, Quiet),

        (Shelved, Unshelve) or (SuppressedByDesign, Unsuppress) or (OutOfService, Return) =>
            facts.Active ? (Unacknowledged, Annunciates) : (Normal, Quiet),

        ( <= OutOfService, _) => (standing, Rejected),
        _ => (Unacknowledged, Annunciates),
    };
}
