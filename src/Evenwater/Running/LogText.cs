using Evenwater.Core.Telling;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>The log's figures in words.</summary>
internal static class LogText
{
    /// <summary>The log itself, in one line.</summary>
    public static string Of(LogFigures log)
    {
        var each = log.BytesPerReading is { } bytes ? $", {bytes:0.0} bytes for each" : "";
        var waits = log.OldestUncommittedSeconds is { } oldest ? $"; the oldest that is not on the disk yet has waited {oldest:0.0} s" : "";
        var written = log.WrittenPerReading is { } wear ? $"; {wear:0} bytes written to the disk for each" : "";
        var stuck = log.Commits == false ? "; it can not be committed, and nothing is opened: look at the disk" : "";
        var lacks = log.LacksRoom ? "; what it may not let go of is more than store.budgetMegabytes, so readings go within hours and only their minutes stay: raise the budget" : "";
        return $"{Size(log.Bytes)}, {HowMany.Of(log.Readings, "reading")}{each}, {Size(log.FreeBytes)} free{written}{waits}{lacks}{stuck}";
    }

    /// <summary>One follower.</summary>
    public static string Of(FollowerLag lag) => lag is { Readings: 0, Others: 0 }
        ? "has all of it"
        : $"lags by {HowMany.Of(lag.Readings, "reading")}{(lag.Others > 0 ? $" and {HowMany.Of(lag.Others, "other entry", "other entries")}" : "")}, the oldest {lag.Seconds:0} s old";

    private static string Size(long bytes) => bytes switch
    {
        < 10_000 => $"{bytes} bytes",
        < 10_000_000 => $"{bytes / 1e3:0} kB",
        _ => $"{bytes / 1e6:0} MB",
    };
}
