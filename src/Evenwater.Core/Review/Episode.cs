namespace Evenwater.Core.Review;

/// <summary>What belongs together: swings of all channels that began with one another, went on from one another or came back.</summary>
/// <param name="Swings">In order of time; at least one.</param>
public sealed record Episode(IReadOnlyList<Swing> Swings)
{
    private const int TogetherPoints = 8;   // 2 h: a water change and what the heater makes of it. Common practice, no source.
    private const int SettlingPoints = 14;  // 3.5 h: a tank of water warms with a time constant of hours.
    private const int ReturnPoints = 48;    // 12 h: what comes back within half a day was an excursion.
    private const int DayPoints = Course.PerDay + 8;

    /// <summary>The point at which it began.</summary>
    public int At => Swings.Min(swing => swing.At);

    /// <summary>The last point that tells of it.</summary>
    public int Until => Swings.Max(swing => swing.FoundAt);

    /// <summary>The one that stands out most.</summary>
    public Swing Strongest => Swings.MaxBy(swing => Math.Abs(swing.Sigmas));

    /// <summary>Puts swings of all channels together.</summary>
    public static IReadOnlyList<Episode> Of(IEnumerable<Swing> swings)
    {
        List<List<Swing>> all = [];
        foreach (var swing in swings.OrderBy(swing => swing.At))
        {
            if (all.FindLast(group => Belongs(group, swing)) is { } group) group.Add(swing);
            else all.Add([swing]);
        }

        return [.. all.Select(group => new Episode(group))];
    }

    private static bool Belongs(List<Swing> group, Swing next)
    {
        if (next.At - group[0].At <= TogetherPoints) return true;
        if (!group.Exists(swing => swing.Channel == next.Channel)) return false;
        var former = group.FindLast(swing => swing.Channel == next.Channel);
        var later = next.At - Math.Max(former.At, Math.Min(former.FoundAt, next.At));
        var same = Math.Sign(former.Size) == Math.Sign(next.Size);
        var (size, was) = (Math.Abs(next.Size), group.Where(swing => swing.Channel == next.Channel).Max(swing => Math.Abs(swing.Size)));
        var turned = group.Exists(swing => swing.Channel == next.Channel && Math.Sign(swing.Size) != Math.Sign(next.Size));
        return (later <= SettlingPoints && size < 2 * was && (!next.Slow || same))
            || (!same && later <= ReturnPoints && size < 1.5 * was && size > was / 3)
            || (same && !turned && later <= DayPoints && (next.Span >= 8 || former.Span >= 8) && size < 3 * was)
            // The lamp at another hour, day by day.
            || (next.Channel == Channel.TankLight && later <= DayPoints);
    }
}
