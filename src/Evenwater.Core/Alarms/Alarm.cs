namespace Evenwater.Core.Alarms;

/// <summary>How soon a person must act.</summary>
public enum Priority : byte
{
    /// <summary>Within the day.</summary>
    Low,

    /// <summary>Within the hour.</summary>
    Medium,

    /// <summary>Within minutes.</summary>
    High,

    /// <summary>Now.</summary>
    Critical,
}

/// <summary>When an alarm's condition is true: from the setpoint on, until it has come back by the deadband.</summary>
/// <param name="Value">The setpoint.</param>
/// <param name="Unit">What it is counted in; for a share of a limit, the key of the limit.</param>
/// <param name="Deadband">How far it must come back, in the same unit, 0 or more.</param>
public readonly record struct Setpoint(double Value, string Unit, double Deadband = 0);

/// <summary>One alarm: what is wrong, what it leads to, what the program did, what the person should do, and how soon.</summary>
public sealed record Alarm
{
    /// <summary>Which.</summary>
    public required AlarmId Id { get; init; }

    /// <summary>Its name in commands and topics: a-z and -.</summary>
    public required string Name { get; init; }

    /// <summary>How soon, in words.</summary>
    public required Priority Priority { get; init; }

    /// <summary>What is happening.</summary>
    public required string Title { get; init; }

    /// <summary>What comes of it if nothing is done.</summary>
    public required string Consequence { get; init; }

    /// <summary>What the program did.</summary>
    public required string Did { get; init; }

    /// <summary>What the person should do. Without it, it is no alarm.</summary>
    public required string Act { get; init; }

    /// <summary>By when, min, 1 to 1440.</summary>
    public required int ActWithinMinutes { get; init; }

    /// <summary>When its condition is true.</summary>
    public required Setpoint Setpoint { get; init; }

    /// <summary>The condition must last this long, s. Trips close at once, whatever is said here.</summary>
    public double OnDelaySeconds { get; init; }

    /// <summary>And be gone this long, s.</summary>
    public double OffDelaySeconds { get; init; }

    /// <summary>Seen, and still standing after this, it calls again, min.</summary>
    public required int ReAlarmMinutes { get; init; }

    /// <summary>Whether it stays until a person resets it, though its cause is gone. Such an alarm is never silenced.</summary>
    public bool Latches { get; init; }

    /// <summary>Whether it may be shelved or taken out of service: never what tells of a flood, a leak or a valve that did not close.</summary>
    public bool MayBeSilenced { get; init; } = true;

    /// <summary>
    /// Whether it only shows that alarms arrive. Nothing is wrong then: it clears by itself, seen or not, is no part of the sentence, and counts
    /// nowhere as a call.
    /// </summary>
    public bool IsTest { get; init; }

    /// <summary>The alarms that explain it: while one of them stands, this one calls nobody.</summary>
    public IReadOnlyList<AlarmId> SuppressedBy { get; init; } = [];
}
