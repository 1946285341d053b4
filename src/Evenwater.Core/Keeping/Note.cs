using System.Text.Json.Serialization;
using Evenwater.Core.Calibration;
using Evenwater.Core.Standing;

namespace Evenwater.Core.Keeping;

/// <summary>
/// One note of the keeper's book. Notes are never changed: a correction, and an undo, is a new note that names the one it replaces (<see cref="Book"/>).
/// What may stand in it is told by <see cref="NoteRules"/>.
/// </summary>
public sealed record Note
{
    /// <summary>Its name within the station's book, such as n12; empty until it is written.</summary>
    public string Id { get; init; } = "";

    /// <summary>What it is about.</summary>
    [JsonConverter(typeof(NoteKindName))]
    public required NoteKind Kind { get; init; }

    /// <summary>When it happened; null: when it was written. After a reading from the log it is null only while no clock has been set.</summary>
    public DateTimeOffset? At { get; init; }

    /// <summary>When it was written; null as <see cref="At"/>.</summary>
    public DateTimeOffset? WrittenAt { get; init; }

    /// <summary>By whom, as that person wants to be called, 1 to 64 characters.</summary>
    public string By { get; init; } = "";

    /// <summary>In the keeper's words, up to 1000 characters.</summary>
    public string Text { get; init; } = "";

    /// <summary>How much water, L, above 0 to 20 000; of a kind that has it.</summary>
    public double? Litres { get; init; }

    /// <summary>How much, in <see cref="Unit"/>, above 0 to 1 000 000; of a kind that has it.</summary>
    public double? Amount { get; init; }

    /// <summary>The amount's unit, one of <see cref="NoteKinds.Units"/>.</summary>
    public string? Unit { get; init; }

    /// <summary>The note that this one takes the place of; null for one of its own.</summary>
    public string? Corrects { get; init; }

    /// <summary>True when it only takes back the note that it names: that no longer stands.</summary>
    public bool Withdrawn { get; init; }

    /// <summary>Of a calibration: what was calibrated, and what it came to.</summary>
    public CalibrationRecord? Calibration { get; init; }

    /// <summary>Of an arrival: what came.</summary>
    public ArrivalRecord? Arrival { get; init; }

    /// <summary>Of an outcome: how they are.</summary>
    public OutcomeRecord? Outcome { get; init; }

    /// <summary>Of a test by hand: what was read.</summary>
    public ManualTest? Test { get; init; }

    /// <summary>Of an observation: the step that was seen.</summary>
    public Observation? Observation { get; init; }

    /// <summary>Of trouble: whether it is opened, tried at or closed.</summary>
    public TroublePart? Trouble { get; init; }

    /// <summary>The photographs that go with it, up to <see cref="PhotographNames.Most"/> names; null for none. Their files are kept beside the log.</summary>
    public IReadOnlyList<string>? Photographs { get; init; }
}
