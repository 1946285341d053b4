namespace Evenwater.Log;

/// <summary>How the log commits.</summary>
internal sealed record LogPace
{
    /// <summary>How long cycles are gathered before they are committed together.</summary>
    public TimeSpan Batch { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>
    /// The same while forecasts wait, that is in a run, where it is the shorter one: after a power cut the start knows nothing of what ran in since the last commit. As often as there is a forecast.
    /// </summary>
    public TimeSpan InRun { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>How long an entry that is no hurry may wait for its commit, as the service commits: half a minute in a run, and a second beside it for the commit itself.</summary>
    public static TimeSpan Longest => new LogPace().InRun + TimeSpan.FromSeconds(1);

    /// <summary>How often followers' cursors are saved: after a crash so much is told again.</summary>
    public TimeSpan Cursors { get; init; } = TimeSpan.FromMinutes(1);

    /// <summary>How long a commit may take before the log counts as lost. Common practice, no source: worn cards stall for some seconds.</summary>
    public TimeSpan LongestCommit { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>How long to wait after a commit that failed.</summary>
    public TimeSpan Retry { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>How long another process may hold the file before a commit counts as failed, whole seconds.</summary>
    public int BusySeconds { get; init; } = 2;

    /// <summary>How many entries are committed between two looks at whether there is a block to pack.</summary>
    public int TidyEvery { get; init; } = 600;

    /// <summary>How often it is looked at how much is free on the disk. Common practice, no source.</summary>
    public TimeSpan LookForRoom { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>What the file may hold; then the oldest raw readings go (<see cref="Blocks.RoomMaker"/>), and their summaries stay. A year of one station at one cycle a second takes a fifth of it.</summary>
    public long BudgetBytes { get; init; } = 1_000_000_000;

    /// <summary>Whether room is held free on the disk (see <see cref="Reserve"/>): the service does.</summary>
    public bool KeepReserve { get; init; }

    /// <summary>Cycles that may wait: over an hour of them at one a second.</summary>
    public int MaxCycles { get; init; } = 4096;

    /// <summary>Other entries that may wait.</summary>
    public int MaxOthers { get; init; } = 1024;
}
