using Evenwater.Core;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>
/// Entries of one station that have no wall time yet, because the computer's clock was never set. The first that has one dates them all. When none comes in a day they
/// are dated by the writer from the latest wall time that the log knows, and flagged so: whoever waits for a date must not wait for ever.
/// </summary>
internal sealed class Undated
{
    /// <summary>How long an entry waits for a date.</summary>
    public static readonly TimeSpan Longest = TimeSpan.FromHours(24);

    private MonotonicTime? _since;

    /// <summary>What must be stored before this entry: the event that dates those before it, when there are any and it can; otherwise null.</summary>
    public Entry? Before(Entry entry)
    {
        if (entry.Wall is not null)
        {
            var waited = _since is { } first ? entry.At.SecondsSince(first) : (double?)null;
            _since = null;
            return waited is { } seconds
                ? Dating(entry, "clock-set", $"The clock of this computer was set; what was recorded in the {seconds:0} s before is dated by it.")
                : null;
        }

        var since = _since ??= entry.At;
        if (entry.At.SecondsSince(since) <= Longest.TotalSeconds)
        {
            return null;
        }

        _since = entry.At;
        return Dating(
            entry,
            "clock-not-set",
            "The clock of this computer has not been set for a day; what was recorded is dated as if it had followed at once on what the log held before.");
    }

    private static Entry Dating(Entry by, string name, string text) =>
        by with { Kind = EntryKind.Event, Body = LogJson.Write(new EventBody(name, text)), Samples = null, FillsIn = true };
}
