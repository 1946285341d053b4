namespace Evenwater.Log;

/// <summary>How far a follower's peer is behind the log.</summary>
/// <param name="Follower">The name of its cursor.</param>
/// <param name="Readings">Readings that the peer has not acknowledged: one is one fitted channel of one cycle.</param>
/// <param name="Others">Entries that it has not, other than cycles.</param>
/// <param name="Seconds">Age of the oldest of all these; 0 when there is none.</param>
internal sealed record FollowerLag(string Follower, long Readings, long Others, double Seconds);

/// <summary>How the log stands.</summary>
/// <param name="LastEntry">The number of the last committed entry.</param>
/// <param name="Readings">Readings that it holds.</param>
/// <param name="Bytes">What it takes on the disk: the database and its write-ahead log.</param>
/// <param name="FreeBytes">What is free beside it.</param>
/// <param name="Followers">Each follower's lag.</param>
internal sealed record LogFigures(long LastEntry, long Readings, long Bytes, long FreeBytes, IReadOnlyList<FollowerLag> Followers)
{
    /// <summary>Whether the daemon can commit; null without a daemon.</summary>
    public bool? Commits { get; init; }

    /// <inheritdoc cref="NightLog.LacksRoom"/>
    public bool LacksRoom { get; init; }

    /// <summary>How long the oldest entry has waited that the daemon has not committed; null without a daemon.</summary>
    public double? OldestUncommittedSeconds { get; init; }

    /// <summary>What the daemon has caused to be written to disks for each reading from soon after its start on, bytes; null without a daemon, and at first.</summary>
    public double? WrittenPerReading { get; init; }

    /// <summary>Bytes for each reading, everything else of the log counted in; null for an empty log.</summary>
    public double? BytesPerReading => Readings == 0 ? null : (double)Bytes / Readings;
}
