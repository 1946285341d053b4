namespace Evenwater.Log;

/// <summary>How the log commits.</summary>
internal sealed record LogPace
{
    /// <summary>How long cycles are gathered before they are committed together.</summary>
    public TimeSpan Batch { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>How long a commit may take before the log counts as lost. Common practice, no source: worn cards stall for some seconds.</summary>
    public TimeSpan LongestCommit { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>How long to wait after a commit that failed.</summary>
    public TimeSpan Retry { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>How long another process may hold the file before a commit counts as failed, whole seconds.</summary>
    public int BusySeconds { get; init; } = 2;

    /// <summary>Cycles that may wait: over an hour of them at one a second.</summary>
    public int MaxCycles { get; init; } = 4096;

    /// <summary>Other entries that may wait.</summary>
    public int MaxOthers { get; init; } = 1024;
}
