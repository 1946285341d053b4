namespace Evenwater.Core;

/// <summary>How much is free on the disk that the log is on. Stored in the log: append, never renumber.</summary>
public enum DiskRoom : byte
{
    /// <summary>Enough.</summary>
    Plenty = 0,

    /// <summary>Less than <see cref="DiskRooms.ShortMegabytes"/>.</summary>
    Short = 1,

    /// <summary>Less than <see cref="DiskRooms.NearlyFullMegabytes"/>.</summary>
    NearlyFull = 2,
}

/// <summary>Free bytes into <see cref="DiskRoom"/>. The figures are common practice, no source.</summary>
public static class DiskRooms
{
    /// <summary>Below this somebody should make room, MB.</summary>
    public const double ShortMegabytes = 200;

    /// <summary>Below this somebody must, MB.</summary>
    public const double NearlyFullMegabytes = 50;

    /// <summary>By so much of a limit it must be passed the other way before it is over.</summary>
    public const double Deadband = 0.2;

    private const double Megabyte = 1e6;

    /// <summary>How it stands.</summary>
    /// <param name="freeBytes">What is free, 0 or more.</param>
    /// <param name="was">How it stood before.</param>
    public static DiskRoom Of(long freeBytes, DiskRoom was) =>
        freeBytes < Limit(NearlyFullMegabytes, was == DiskRoom.NearlyFull) ? DiskRoom.NearlyFull
        : freeBytes < Limit(ShortMegabytes, was != DiskRoom.Plenty) ? DiskRoom.Short
        : DiskRoom.Plenty;

    private static double Limit(double megabytes, bool below) => megabytes * Megabyte * (below ? 1 + Deadband : 1);
}
