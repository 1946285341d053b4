using Evenwater.Core;

namespace Evenwater.Log;

/// <summary>One entry of the log. Two entries are the same only when they are one object: the number tells them apart.</summary>
internal sealed record Entry
{
    /// <summary>Its place in the sequence, from 1; 0 until it is appended.</summary>
    public long Id { get; init; }

    /// <summary>The monotonic clock's life (see <see cref="NightLog.StartBoot"/>).</summary>
    public required long BootId { get; init; }

    /// <summary>The station as configured then (see <see cref="NightLog.Configure"/>).</summary>
    public required long ConfigurationId { get; init; }

    /// <summary>The station's name.</summary>
    public required string Station { get; init; }

    /// <summary>The run it belongs to, when there is one.</summary>
    public long? RunId { get; init; }

    /// <summary>When, on the boot's monotonic clock.</summary>
    public required MonotonicTime At { get; init; }

    /// <summary>When, by the wall; stored in whole milliseconds. Null while the clock has never been set.</summary>
    public DateTimeOffset? Wall { get; init; }

    /// <summary>How far the wall time may be believed.</summary>
    public required ClockQuality ClockQuality { get; init; }

    /// <summary>What it is about.</summary>
    public required EntryKind Kind { get; init; }

    /// <summary>JSON, one of the records in Bodies.cs.</summary>
    public string? Body { get; init; }

    /// <summary>Of a cycle: what the devices gave. Channels that are not fitted are not stored.</summary>
    public RawSamples? Samples { get; init; }

    /// <summary>When it is stored, those before it that have no wall time are dated by its own; when it has none either, all of them from what the log held before. Not stored itself.</summary>
    public bool FillsIn { get; init; }

    /// <summary>Whether its row holds what none of ours does, such as a date that is none: a worn card gives back other bytes. Such a date is left out. Not stored itself.</summary>
    public bool Spoilt { get; init; }

    // The generated comparison would compare inline arrays, which throws.
    public bool Equals(Entry? other) => ReferenceEquals(this, other);

    public override int GetHashCode() => Id.GetHashCode();
}

/// <summary>What an entry is about. The number is stored: append, never renumber.</summary>
internal enum EntryKind
{
    /// <summary>One cycle's raw samples.</summary>
    Cycle = 1,

    /// <summary>What somebody asked, and what came of it.</summary>
    Command = 2,

    /// <summary>A run began or changed phase.</summary>
    Run = 3,

    /// <summary>The valve was told to open or to close.</summary>
    Valve = 4,

    /// <summary>The valve was closed for safety.</summary>
    Trip = 5,

    /// <summary>An alarm was raised or cleared.</summary>
    Alarm = 6,

    /// <summary>What the estimator expects.</summary>
    Forecast = 7,

    /// <summary>The sentence for the keeper.</summary>
    Say = 8,

    /// <summary>Anything else worth keeping.</summary>
    Event = 9,

    /// <summary>A note of the keeper's book.</summary>
    Note = 10,
}

/// <summary>How far a wall time may be believed. The number is stored: append, never renumber.</summary>
internal enum ClockQuality
{
    /// <summary>Never set since the computer started.</summary>
    Unsynced = 0,

    /// <summary>Carried over from before the last start.</summary>
    Restored = 1,

    /// <summary>Set from a time source.</summary>
    Synced = 2,

    /// <summary>The simulated station's own clock.</summary>
    Simulated = 3,
}
