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

    /// <summary>Whether both belong to one block, as far as what they have in common goes.</summary>
    public static bool Alike(Entry a, Entry b) =>
        (a.BootId, a.ConfigurationId, a.RunId, a.ClockQuality, a.Wall is null) == (b.BootId, b.ConfigurationId, b.RunId, b.ClockQuality, b.Wall is null);
}
