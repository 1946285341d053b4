using Evenwater.Core.Keeping;

namespace Evenwater.Core.Review;

/// <summary>Tells which swings are one event: what goes on from a swing and what comes back from it belongs to it; what goes elsewhere is another.</summary>
internal sealed class Together(IReadOnlyDictionary<Channel, Course> courses, Happened happened)
{
    /// <summary>2 h: a water change and what the heater makes of it. Common practice, no source.</summary>
    public const int Points = 8;

    /// <summary>3.5 h: a tank of water warms with a time constant of hours.</summary>
    public const int Settling = 14;

    private const int Return = 48;  // 12 h: what comes back within half a day was an excursion.
    private const int Still = 16;   // 4 h
    private const int Day = Course.PerDay + 8;
    private const int LongestLook = 2 * Course.PerDay;

    /// <summary>Within this share of its size what has come back is back. Common practice, no source.</summary>
    private const double BackShare = 0.35;

    /// <summary>A change that is so many times as fast as what is under way is another. Common practice, no source.</summary>
    private const double Faster = 3;

    private static readonly NoteKind[] Acts = [NoteKind.WaterChange, NoteKind.TopOff, NoteKind.Dose, NoteKind.Medication, NoteKind.ProbeClean];

    private readonly int[] _known = [.. Known(courses, happened)];

    public IEnumerable<Episode> Put(IEnumerable<Swing> swings)
    {
        List<List<Swing>> all = [];
        foreach (var swing in swings.OrderBy(swing => swing.At))
        {
            if (all.FindLast(group => Belongs(all, group, swing)) is { } group) group.Add(swing);
            else all.Add([swing]);
        }

        return all.Select(group => new Episode(group));
    }

    private static IEnumerable<int> Known(IReadOnlyDictionary<Channel, Course> courses, Happened happened) =>
        courses.Values.FirstOrDefault() is not { } course ? [] : happened.Notes.Where(note => Acts.Contains(note.Kind) && note.At is not null).Select(note => note.At!.Value)
            .Concat(happened.Runs.Select(run => run.From)).Concat(happened.Calibrations.Select(step => step.At)).Select(course.PointOf);

    private bool Belongs(List<List<Swing>> all, List<Swing> group, in Swing next)
    {
        var (at, channel) = (next.At, next.Channel);
        var first = group.Find(swing => IsOf(swing, channel));
        var turned = first.Span > 0 && first.Slow && !next.Slow && Math.Sign(first.Size) != Math.Sign(next.Size) && !IsBack(first, at, Most(group, channel));
        if (at - group[0].At <= Points && !turned) return true;
        if (!next.Slow && Restless(group, channel) is { } restless) return at - restless <= Day && (next.Shape == SwingShape.Unrest || first.Span == 0 || Math.Abs(next.Size) < 3 * Most(group, channel));
        if (next.Shape == SwingShape.Unrest || first.Span == 0) return Films(group, first, next, at);
        var former = group.FindLast(swing => IsOf(swing, channel));
        var later = at - Math.Max(former.At, Math.Min(former.FoundAt, at));
        // The lamp at another hour, day by day.
        if (channel == Channel.TankLight) return later <= Day;
        if (!next.Slow && NewlyKnown(group, at)) return false;
        var was = Most(group, channel);
        // Heat flows back by itself, for a day or two; salt does not.
        if (channel == Channel.TankTemperature && later <= LongestLook && GoesBack(first, at, was)) return true;
        if (Math.Sign(former.Size) != Math.Sign(next.Size)) return (first.Slow || next.Slow ? at - first.At : later) <= Return && IsBack(first, at, was);
        var size = Math.Abs(next.Size);
        if (first.Slow) return later <= LongestLook && size < 3 * was && !Outruns(first, next, Pace(all, group, first)) && !Stopped(all, channel, at, Pace(all, group, first));
        if (Math.Sign(first.Size) != Math.Sign(next.Size)) return later <= Settling && GoesBack(first, at, was);
        return size < 2 * was && later <= (channel == Channel.TankTemperature ? next.Slow ? Day : Settling : next.Slow && size > was / 2 ? Return : Points);
    }

    /// <summary>When it was last seen to scatter; null when it does not, or no longer.</summary>
    private static int? Restless(List<Swing> group, Channel channel) => group.FindLast(swing => swing.Shape == SwingShape.Unrest && swing.Channel == channel) is { Restless: true } last ? last.FoundAt : null;

    /// <summary>A film on a probe makes it calmer and lets it fall: whichever is told first.</summary>
    private static bool Films(List<Swing> group, in Swing first, in Swing next, int at) => next.Shape == SwingShape.Unrest
        ? next.Size < 0 && first.Slow && first.Size < 0 && at - first.At <= LongestLook
        : next.Slow && next.Size < 0 && at - group[^1].FoundAt <= Day && group.TrueForAll(swing => swing.Shape == SwingShape.Unrest && swing.Size < 0);

    /// <summary>Whether it moved a channel, not only made it restless.</summary>
    private static bool IsOf(in Swing swing, Channel channel) => swing.Channel == channel && swing.Shape != SwingShape.Unrest;

    private static double Most(List<Swing> group, Channel channel) => group.Where(swing => IsOf(swing, channel)).Max(swing => Math.Abs(swing.Size));

    /// <summary>What somebody did, or a run, is known near a swing, and was not near the group's beginning.</summary>
    private bool NewlyKnown(List<Swing> group, int at) => Array.Exists(_known, known => known >= at - 4 && known <= at + 2 && known > group[0].At + 4);

    /// <summary>By how much a point it moved from its beginning until it was last told, or another swing came between; null of less than an hour.</summary>
    private double? Pace(List<List<Swing>> all, List<Swing> group, Swing first)
    {
        var told = all.SelectMany(one => one.Where(swing => IsOf(swing, first.Channel) && swing.At > first.At && one != group)).Select(swing => swing.At)
            .Append(group.FindLast(swing => IsOf(swing, first.Channel)).FoundAt).Min();
        return told - first.At < 4 ? null : Off(courses[first.Channel], first.At, told - 4, told) / (told - first.At);
    }

    /// <summary>Whether the half day from it on goes much faster than what began half a day before it, or earlier.</summary>
    private bool Outruns(in Swing first, in Swing next, double? pace)
    {
        var (course, at) = (courses[next.Channel], next.At);
        if (at - first.At < Return || course.Median(at + Return - 4, at + Return + 4) - course.Median(at - 4, at) is not { } further || Return * pace is not { } expected) return false;
        return Math.Sign(further) == Math.Sign(next.Size) && Math.Abs(further) > Faster * Math.Abs(expected) && Math.Abs(further - expected) > 6 * course.Sd(4);
    }

    /// <summary>Whether it stood still for more than four hours since anything was told: less than a quarter of its pace.</summary>
    private bool Stopped(List<List<Swing>> all, Channel channel, int at, double? pace)
    {
        var course = courses[channel];
        var since = all.SelectMany(group => group).Where(swing => IsOf(swing, channel)).Max(swing => swing.FoundAt);
        return at - since >= Still && course.Median(at - 4, at) - course.Median(since, since + 4) is { } further && further / (at - since) * Math.Sign(pace ?? 0) < Math.Abs(pace ?? 0) / 4;
    }

    /// <summary>Whether it is nearer to what was before all of it than just before this, and not past it.</summary>
    private bool GoesBack(in Swing first, int at, double was)
    {
        var course = courses[first.Channel];
        if (Off(course, first.At, at - 4, at) is not { } before || Off(course, first.At, at + 4, at + 8) is not { } after) return false;
        return Math.Abs(after) < Math.Abs(before) && (Math.Sign(after) == Math.Sign(before) || Math.Abs(after) < Math.Max(3 * course.Sd(4), BackShare * was));
    }

    private bool IsBack(in Swing first, int at, double was)
    {
        var course = courses[first.Channel];
        return (Off(course, first.At, at + 16, at + 24) ?? Off(course, first.At, at + 4, at + 8)) is { } left && Math.Abs(left) < Math.Max(3 * course.Sd(4), BackShare * was);
    }

    private static double? Off(Course course, int first, int from, int to)
    {
        var before = course.Track.MeasuredBefore(first);
        return course.Median(from, to) - course.Median(before - 12, before);
    }
}
