namespace Evenwater.Core.Review;

/// <summary>What one channel did in an episode, against the three hours before it; as far as nothing else moved it.</summary>
internal sealed class Moves
{
    private const int Hour = 4;
    private const int Baseline = 3 * Hour;

    /// <summary>The weights of two hourly medians with an hour and a half between them.</summary>
    private static readonly double[] Apart = [-0.25, -0.25, -0.25, -0.25, 0, 0, 0, 0, 0, 0, 0.25, 0.25, 0.25, 0.25];

    private readonly Course _course;
    private readonly int _end;

    public Moves(Course course, Episode episode)
    {
        _course = course;
        First = episode.Swings.Where(swing => swing.Channel == course.Channel && swing.Shape != SwingShape.Unrest).Select(swing => (Swing?)swing).FirstOrDefault();
        At = First?.At ?? episode.At;
        _end = Math.Min(course.Count, Math.Max(episode.Disturbed.GetValueOrDefault(course.Channel, int.MaxValue), At + Hour));
        Moved = First is not null;
        Busy = episode.Moving.Contains(course.Channel);
        Begin = Math.Min(At, episode.At);
        Fastest = AnyHours();
    }

    /// <summary>The point before which all is as it was.</summary>
    public int Begin { get; }

    /// <summary>The largest change of hourly medians two hours and a half apart, and the point in the middle of it; null where it was not measured.</summary>
    public (double Change, int At)? Fastest { get; }

    /// <summary>
    /// Whether most of what it came to in a day came within two hours and a half: more than halfway between the share that a straight line brings in them, and all; and far more than it does by itself.
    /// </summary>
    public bool AtOnce => Fastest is { } fast && Math.Abs(fast.Change) > 4.5 * _course.Track.Restlessness.Sd(Apart)
        && (Grown(24) is not var (whole, hours) || Math.Abs(fast.Change) > Math.Abs(whole) * (1 + (2.5 / hours)) / 2);

    /// <summary>Its first swing; null when it had none of its own.</summary>
    public Swing? First { get; }

    /// <summary>The point at which it began to move.</summary>
    public int At { get; }

    /// <summary>Whether a swing of it was found.</summary>
    public bool Moved { get; }

    /// <summary>Whether an earlier episode was still moving it.</summary>
    public bool Busy { get; }

    /// <summary>1-sigma of a change from hour to hour.</summary>
    public double Sd => _course.Sd(Hour);

    /// <summary>The last value that was measured before, in the channel's own unit.</summary>
    public double? Seen => _course.Seen.Take(Math.Clamp(Begin, 0, _course.Count)).LastOrDefault(value => value is not null);

    /// <summary>How much it had changed between two times after it began, h; null where that was not measured, or something else moved it meanwhile.</summary>
    public double? After(double fromHours, double toHours) => Between(At + (int)(fromHours * Hour), At + (int)(toHours * Hour));

    /// <summary>How much it changed within the first hour.</summary>
    public double? Quick => _course.Step(At + 1, Hour, Baseline);

    /// <summary>How much it had changed in the end, at most so many hours after it began, and after how many that was; null within four hours.</summary>
    public (double Change, double Hours)? Grown(double hours)
    {
        var to = Math.Min(_end, At + (int)(hours * Hour) + (2 * Hour));
        return to - At >= 5 * Hour && Between(to - (4 * Hour), to) is { } change ? (change, (to - At - (2.0 * Hour)) / Hour) : null;
    }

    /// <summary>The half hour of the first hours that lies farthest from what was.</summary>
    public double? Farthest(double hours) => Enumerable.Range(At, (int)(hours * Hour)).Select(from => Between(from, from + 2)).MaxBy(change => Math.Abs(change ?? 0));

    private (double Change, int At)? AnyHours()
    {
        (double Change, int At)? best = null;
        for (var at = Math.Max(7, Busy ? Begin + 3 : Begin - Hour); at < Math.Min(_end - 6, Math.Clamp(First?.FoundAt ?? At, At + (3 * Hour), At + (8 * Hour)) + Hour); at++)
        {
            if (_course.Median(at + 3, at + 7) - _course.Median(at - 7, at - 3) is { } change && !(Math.Abs(change) <= Math.Abs(best?.Change ?? 0))) best = (change, at);
        }

        return best;
    }

    private double? Between(int from, int to)
    {
        if (to > _end) return null;
        var before = _course.Track.MeasuredBefore(At);
        return _course.Median(from, to) - _course.Median(before - Baseline, before);
    }
}
