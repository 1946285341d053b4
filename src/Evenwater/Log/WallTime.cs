namespace Evenwater.Log;

/// <summary>Wall times as the log keeps them, Unix milliseconds.</summary>
internal static class WallTime
{
    /// <summary>No clock here tells a year before 1970 or after 2199, and a calendar has no day after its last: what lies outside is no longer what was written.</summary>
    public const long MostMs = 7_258_118_400_000; // 2200-01-01T00:00Z: 84,006 days from 1970 on, worked by hand, of 86,400,000 ms

    /// <summary>The time; null where it is none.</summary>
    public static DateTimeOffset? Of(long ms) => ms is >= 0 and < MostMs ? DateTimeOffset.FromUnixTimeMilliseconds(ms) : null;
}
