using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review.Comparing;

/// <summary>What something else is known by.</summary>
public enum ElseKind
{
    /// <summary>A note of the keeper's book.</summary>
    Note,

    /// <summary>A run dripped out of the tank.</summary>
    Run,

    /// <summary>Nothing at all was read: no power, or the program was stopped.</summary>
    Cut,

    /// <summary>One probe was not read.</summary>
    Probe,

    /// <summary>The station file says something else.</summary>
    Setting,

    /// <summary>An alarm called, or the valve was closed for safety.</summary>
    Alarm,
}

/// <summary>Something else that happened at the tank.</summary>
/// <param name="Kind">What it is known by.</param>
/// <param name="At">When it began.</param>
/// <param name="Until">When it was over; the same as <paramref name="At"/> for what happened at once.</param>
/// <param name="Text">What it was, in a few words.</param>
public sealed record Else(ElseKind Kind, DateTimeOffset At, DateTimeOffset Until, string Text)
{
    /// <summary>The note, where it is one.</summary>
    public Note? Note { get; init; }

    /// <summary>Whether it may have moved the tank or what its probes say. A look or a test moves nothing, and an alarm only tells.</summary>
    public bool Acts => Kind != ElseKind.Alarm && Note?.Kind is not (NoteKind.Observation or NoteKind.Test or NoteKind.Outcome);
}

/// <summary>How something else lies to the spans.</summary>
public enum Bearing
{
    /// <summary>Too near the change to be told apart from it.</summary>
    Together,

    /// <summary>Within the spans; shorter ones would leave it out.</summary>
    Within,

    /// <summary>Within the spans on both sides, as often before as after.</summary>
    Usual,

    /// <summary>Within the spans, and moves nothing.</summary>
    Told,

    /// <summary>Just before them.</summary>
    Near,
}

/// <summary>Something else, and how it lies to the change.</summary>
/// <param name="What">What it was.</param>
/// <param name="Days">Days after the change; below 0 before it.</param>
/// <param name="Bearing">How it lies.</param>
public sealed record ElseNear(Else What, double Days, Bearing Bearing);
