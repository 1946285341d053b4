namespace Evenwater.Core;

/// <summary>Why a value is missing or not trusted. The number is stored in the log: append, never renumber.</summary>
public enum Reason : byte
{
    /// <summary>Nothing is wrong: the value may be used.</summary>
    None = 0,

    /// <summary>This station has no such probe.</summary>
    NotFitted = 1,

    /// <summary>The device did not answer, or answered what it answers when it has not measured.</summary>
    NoAnswer = 2,

    /// <summary>Outside what the probe can read or the water can be.</summary>
    OutOfRange = 3,

    /// <summary>Too old to act on.</summary>
    Stale = 4,

    /// <summary>The very same reading for too long.</summary>
    Stuck = 5,

    /// <summary>Changed faster than water can.</summary>
    TooFast = 6,

    /// <summary>No calibration, or none that fits.</summary>
    Uncalibrated = 7,

    /// <summary>Contradicts other evidence.</summary>
    Disagrees = 8,
}
