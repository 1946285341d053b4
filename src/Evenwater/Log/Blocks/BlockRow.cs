using Evenwater.Core;

namespace Evenwater.Log.Blocks;

/// <summary>
/// Cycles of one station, in order, kept together: those of one boot, one configuration, one run and one quality of the clock. What all have in common,
/// and what is searched for, stands beside the packed columns.
/// </summary>
/// <param name="FirstId">Number of the first cycle.</param>
/// <param name="LastId">Number of the last; not all between are of this block.</param>
/// <param name="Count">How many there are.</param>
/// <param name="Readings">How many samples of channels that are fitted.</param>
/// <param name="BootId">The monotonic clock's life.</param>
/// <param name="ConfigurationId">The station as it was configured then.</param>
/// <param name="RunId">The run, when there was one.</param>
/// <param name="ClockQuality">How far the wall times may be believed.</param>
/// <param name="FirstAt">When the first was, on the boot's clock.</param>
/// <param name="LastAt">When the last was.</param>
/// <param name="FirstWallMs">When the first was by the wall, Unix milliseconds; null while the clock had never been set.</param>
/// <param name="LastWallMs">When the last was.</param>
/// <param name="Columns">What <see cref="BlockCodec"/> made of them.</param>
internal sealed record BlockRow(
    long FirstId, long LastId, int Count, long Readings, long BootId, long ConfigurationId, long? RunId, ClockQuality ClockQuality,
    MonotonicTime FirstAt, MonotonicTime LastAt, long? FirstWallMs, long? LastWallMs, byte[] Columns)
{
    /// <summary>Cycles that may stand in one block: an hour of them at one a second.</summary>
    public const int MostCycles = 3600;

    /// <summary>
    /// How far apart, in numbers, the first and the last may be. Whoever looks for the cycles up to some number need not look at blocks that begin
    /// further before it.
    /// </summary>
    public const int MostSpan = 16384;

    /// <summary>How far the wall clock may have been set, against the boot's own, between two cycles or batches of one block, ms.</summary>
    private const long MostSetMs = 10_000;

    /// <summary>
    /// Who looks for a time must look so much further, ms: without opening a block it is known when its first and its last cycle were, and each of its cycles
    /// may be off by <see cref="MostSetMs"/> from the first of its batch, that from the last, that from the last of the first batch, and that from the first.
    /// </summary>
    public const long LookFurtherMs = 4 * MostSetMs;

    /// <summary>By how much the wall is ahead of the boot's clock at the end, ms.</summary>
    private long? AheadMs => LastWallMs - (LastAt.Nanoseconds / 1_000_000);

    /// <summary>Whether both belong to one block, as far as what they have in common goes.</summary>
    public static bool Alike(Entry a, Entry b) =>
        (a.BootId, a.ConfigurationId, a.RunId, a.ClockQuality, a.Wall is null) == (b.BootId, b.ConfigurationId, b.RunId, b.ClockQuality, b.Wall is null)
        && Near(AheadMsOf(a), AheadMsOf(b));

    /// <summary>Whether the wall clock was not set by much between the ends of the two.</summary>
    public static bool Near(BlockRow a, BlockRow b) => Near(a.AheadMs, b.AheadMs);

    private static long? AheadMsOf(Entry cycle) => cycle.Wall?.ToUnixTimeMilliseconds() - (cycle.At.Nanoseconds / 1_000_000);

    private static bool Near(long? a, long? b) => a is null || b is null || Math.Abs(a.Value - b.Value) <= MostSetMs;
}
