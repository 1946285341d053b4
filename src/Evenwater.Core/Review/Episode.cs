namespace Evenwater.Core.Review;

/// <summary>What belongs together: swings of all channels that began with one another, went on from one another or came back.</summary>
/// <param name="Swings">In order of time; at least one.</param>
public sealed record Episode(IReadOnlyList<Swing> Swings)
{
    /// <summary>The point at which it began.</summary>
    public int At => Swings.Min(swing => swing.At);

    /// <summary>The last point that tells of it.</summary>
    public int Until => Swings.Max(swing => swing.FoundAt);

    /// <summary>The one that stands out most; one of restlessness only where nothing else swung.</summary>
    public Swing Strongest => Swings.MaxBy(swing => (swing.Shape != SwingShape.Unrest, Math.Abs(swing.Sigmas)));

    /// <summary>A channel's swings; those of restlessness only where it has no others.</summary>
    public IReadOnlyList<Swing> Of(Channel channel)
    {
        Swing[] own = [.. Swings.Where(swing => swing.Channel == channel)];
        return own.Any(swing => swing.Shape != SwingShape.Unrest) ? [.. own.Where(swing => swing.Shape != SwingShape.Unrest)] : own;
    }

    /// <summary>Of a channel the point at which another episode begins to move it; where none does it is missing. Behind it nothing tells of this one alone.</summary>
    internal IReadOnlyDictionary<Channel, int> Disturbed { get; init; } = new Dictionary<Channel, int>();

    /// <summary>What another episode, begun before, was still moving when this one began.</summary>
    internal IReadOnlyList<Channel> Moving { get; init; } = [];

    /// <summary>Every episode of a tank, in order of time.</summary>
    /// <param name="courses">Of each channel that was read.</param>
    /// <param name="happened">What is known: a swing with something known at its time begins an episode of its own.</param>
    public static IReadOnlyList<Episode> Of(IReadOnlyDictionary<Channel, Course> courses, Happened happened)
    {
        var all = new Together(courses, happened).Put(courses.Values.SelectMany(Review.Swings.Of)).OrderBy(one => one.At).ToList();
        return [.. all.Select(one => one with { Disturbed = After(one, all), Moving = Before(one, all) })];
    }

    private static Dictionary<Channel, int> After(Episode one, List<Episode> all) =>
        all.Where(other => other != one && other.At > one.At).SelectMany(other => other.Swings).Where(swing => swing.At > one.At + Together.Points)
            .GroupBy(swing => swing.Channel).ToDictionary(group => group.Key, group => group.Min(swing => swing.At));

    private static List<Channel> Before(Episode one, List<Episode> all) =>
        [.. all.Where(other => other != one && other.At <= one.At).SelectMany(other => other.Swings.Where(_ => other.Until >= one.At - Together.Settling)).Select(swing => swing.Channel).Distinct()];
}
