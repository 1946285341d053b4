namespace Evenwater.Core.Alarms;

/// <summary>Where one alarm stands, in the words of ISA-18.2 (its state diagram, states A to I).</summary>
public enum AlarmStanding : byte
{
    /// <summary>A: nothing is wrong.</summary>
    Normal,

    /// <summary>B: wrong, and nobody has said that they have seen it.</summary>
    Unacknowledged,

    /// <summary>C: wrong, and seen.</summary>
    Acknowledged,

    /// <summary>D: no longer wrong, and nobody has seen that it was.</summary>
    ReturnedUnacknowledged,

    /// <summary>E: no longer wrong, not seen, and stays until a person resets.</summary>
    LatchedUnacknowledged,

    /// <summary>F: no longer wrong, seen, and stays until a person resets.</summary>
    LatchedAcknowledged,

    /// <summary>G: a person has put it aside for a while, and said why. Judged on, not told.</summary>
    Shelved,

    /// <summary>H: another alarm tells of what causes it. Judged on, not told.</summary>
    SuppressedByDesign,

    /// <summary>I: a person has taken it out of service until they return it, and said why. Judged on, not told.</summary>
    OutOfService,
}

/// <summary>What can happen to an alarm.</summary>
public enum AlarmEvent : byte
{
    /// <summary>Its condition has been true for the on-delay.</summary>
    Came,

    /// <summary>Its condition has been false, past the deadband, for the off-delay.</summary>
    Went,

    /// <summary>A person has seen it.</summary>
    Acknowledge,

    /// <summary>It has stood for the re-alarm time.</summary>
    ReAlarm,

    /// <summary>A person says that the cause is gone.</summary>
    Reset,

    /// <summary>A person puts it aside for a while.</summary>
    Shelve,

    /// <summary>That while is over, or a person ends it.</summary>
    Unshelve,

    /// <summary>An alarm that explains it has come.</summary>
    Suppress,

    /// <summary>No alarm explains it any more.</summary>
    Unsuppress,

    /// <summary>A person takes it out of service.</summary>
    Retire,

    /// <summary>A person returns it to service.</summary>
    Return,
}

/// <summary>What an event does besides changing where the alarm stands.</summary>
public enum AlarmOutcome : byte
{
    /// <summary>The event means nothing there; nothing was changed.</summary>
    Rejected,

    /// <summary>The change is recorded and shown; nobody is called.</summary>
    Quiet,

    /// <summary>A person is called.</summary>
    Annunciates,
}

/// <summary>What the table needs to know besides standing and event.</summary>
/// <param name="Active">Whether the condition is true, after its delays.</param>
/// <param name="Latches">Whether the alarm stays until a person resets it.</param>
/// <param name="MayBeSilenced">Whether it may be shelved or taken out of service.</param>
public readonly record struct AlarmFacts(bool Active, bool Latches, bool MayBeSilenced);
