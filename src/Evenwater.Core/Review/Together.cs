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
            if (all.FindLast(group => Belongs(group, swing)) is { } group) group.Add(swing);
            else all.Add([swing]);
        }

        return all.Select(group => new Episode(group));
    }

    private static IEnumerable<int> Known(IReadOnlyDictionary<Channel, Course> courses, Happened happened) =>
        courses.Values.FirstOrDefault() is not { } course ? [] : happened.Notes.Where(note => Acts.Contains(note.Kind) && note.At is not null).Select(note => note.At!.Value)
            .Concat(happened.Runs.Select(run => run.From)).Concat(happened.Calibrations.Select(step => step.At)).Select(course.PointOf);

    private bool Belongs(List<Swing> group, in Swing next)
    {
        var (at, channel) = (next.At, next.Channel);
        var first = group.Find(swing => swing.Channel == channel && swing.Shape != SwingShape.Unrest);
        var turned = first.Span > 0 && first.Slow && !next.Slow && Math.Sign(first.Size) != Math.Sign(next.Size);
        if (at - group[0].At <= Points && !turned) return true;
        if (Restless(group, channel) is { } restless) return at - restless <= Day && (next.Shape == SwingShape.Unrest || first.Span == 0 || Math.Abs(next.Size) < 3 * Most(group, channel));
        if (next.Shape == SwingShape.Unrest || first.Span == 0) return false;
        var former = group.FindLast(swing => swing.Channel == channel && swing.Shape != SwingShape.Unrest);
        var later = at - Math.Max(former.At, Math.Min(former.FoundAt, at));
        // The lamp at another hour, day by day.
        if (channel == Channel.TankLight) return later <= Day;
        if (!next.Slow && NewlyKnown(group, at)) return false;
        var was = Most(group, channel);
        // Heat flows back by itself, for a day or two; salt does not.
        if (channel == Channel.TankTemperature && later <= LongestLook && GoesBack(first, at, was)) return true;
        if (Math.Sign(former.Size) != Math.Sign(next.Size)) return !turned && !former.Slow && !next.Slow && later <= Return && IsBack(first, at, was);
        var size = Math.Abs(next.Size);
        if (first.Slow) return later <= LongestLook && size < 3 * was && !Outruns(next, former);
        if (Math.Sign(first.Size) != Math.Sign(next.Size)) return later <= Settling && GoesBack(first, at, was);
        return size < 2 * was && later <= (channel == Channel.TankTemperature ? next.Slow ? Day : Settling : Points);
    }

    private static int? Restless(List<Swing> group, Channel channel) => group.FindLast(swing => swing.Restless && swing.Channel == channel) is { Span: > 0 } last ? last.FoundAt : null;

    private static double Most(List<Swing> group, Channel channel) => group.Where(swing => swing.Channel == channel && swing.Shape != SwingShape.Unrest).Max(swing => Math.Abs(swing.Size));

    /// <summary>What somebody did, or a run, is known near a swing, and was not near the group's beginning.</summary>
    private bool NewlyKnown(List<Swing> group, int at) => Array.Exists(_known, known => known >= at - 4 && known <= at + 2 && known > group[0].At + 4);

    private bool Outruns(in Swing next, in Swing former)
    {
        var course = courses[next.Channel];
        if (course.Step(next.At + 2, 4, Points) is not { } step || Math.Abs(step) < 4 * course.Sd(4)) return false;
        return Math.Abs(step) / Points > Faster * Math.Abs(former.Size) / Math.Max(former.Span, Points);
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
        var before = first;
        while (before > 12 && first - before < Course.PerDay && course.Values[before - 1] is null) before--;
        return course.Median(from, to) - course.Median(before - 12, before);
    }
}
