using Evenwater.Core.Keeping;
using Evenwater.Core.Review.Comparing;
using Evenwater.Core.Standing;
using Evenwater.Core.Stations;
using Evenwater.Log;

namespace Evenwater.Keeping;

/// <summary>What is asked of a change.</summary>
/// <param name="Note">The note that tells of it; null when a time is given.</param>
/// <param name="At">When it was made; null when a note is given.</param>
/// <param name="BeforeDays">Days before; null for the usual.</param>
/// <param name="AfterDays">Days after; null for the usual, or as many as there are.</param>
/// <param name="SettlingHours">Left out after it; null for the usual.</param>
/// <param name="Now">When it is asked: what is later is yet to come; null where nobody knows.</param>
internal sealed record DidAsk(string? Note, DateTimeOffset? At, int? BeforeDays = null, int? AfterDays = null, int? SettlingHours = null, DateTimeOffset? Now = null);

/// <summary>An answer with what it was made of.</summary>
/// <param name="Answer">The answer.</param>
/// <param name="Courses">The tank's channels, far beyond the spans.</param>
/// <param name="DamagedRows">How many rows of the log could not be read any more, and were passed over.</param>
public sealed record DidFound(DidAnswer Answer, IReadOnlyList<Quarters> Courses, int DamagedRows);

/// <summary>Answers what a change did from a station's log.</summary>
internal static class DidReading
{
    private const int MostOtherDays = 42;
    private const int MostDays = 208; // 20 000 quarters of an hour are the most that are read at once

    /// <summary>The answer, or what is wrong with the question.</summary>
    /// <param name="folder">The log's folder.</param>
    /// <param name="station">Its name, as it stands in the log.</param>
    /// <param name="ask">What is asked.</param>
    /// <param name="zone">The keeper's time zone.</param>
    /// <param name="stop">Calls it off.</param>
    public static (DidFound? Found, IReadOnlyList<Problem> Problems) Look(string folder, string station, DidAsk ask, TimeZoneInfo zone, CancellationToken stop = default)
    {
        using var log = new LogReader(folder, KeptLog.BusySeconds);
        Note[] notes = [.. Books.Of(log, station).Standing];
        var what = ask.Note is { } id ? Array.Find(notes, note => note.Id == id) : null;
        if (Wrong(ask, what, zone) is { } wrong) return (null, [wrong]);
        var spans = new CompareSpans(TimeZoneInfo.ConvertTime(what?.At ?? ask.At!.Value, zone), ask.BeforeDays ?? CompareSpans.UsualDays, ask.AfterDays ?? CompareSpans.UsualDays, ask.SettlingHours ?? CompareSpans.UsualSettling);
        if (spans.Problems() is { Count: > 0 } problems) return (null, problems);
        var more = Math.Clamp((MostDays - (int)Math.Ceiling((spans.To - spans.From).TotalDays)) / 2, 0, MostOtherDays);
        var (from, to) = (spans.From.AddDays(-more), spans.To.AddDays(more));
        var (courses, damaged) = Courses(folder, station, from, to, stop);
        stop.ThrowIfCancellationRequested();
        if (ask.AfterDays is null && courses.Count > 0) spans = spans with { AfterDays = Math.Clamp((int)(courses.Max(course => course.End) - spans.AfterBegin).TotalDays, CompareSpans.LeastDays, CompareSpans.UsualDays) };
        using var beside = new SpanReader(folder, KeptLog.BusySeconds);
        var known = TankKnown.Of(beside, folder, station, courses, notes, from, to);
        return (new(DidAnswer.Of(what, spans, courses, notes, known, zone), courses, damaged + beside.Damaged), []);
    }

    private static Problem? Wrong(DidAsk ask, Note? what, TimeZoneInfo zone) =>
        (ask.Note is null) == (ask.At is null) ? new("note", ask.Note ?? "not given", "a note of the book, or a time, and one of the two", "'evenwater journal' lists the notes.")
        : ask.Note is not null && what is null ? new("note", ask.Note, "a note that stands in this station's book", "'evenwater journal' lists them.")
        : what is { At: null } ? new("note", ask.Note!, "a note with a time", "Nobody knows yet when it was written: the clock has not been set since. Ask by a time.")
        : (what?.At ?? ask.At) is { } at && at > ask.Now ? new(what is null ? "at" : "note", what is null ? KeptTime.Text(at, zone) : ask.Note!, $"what was done already, before {KeptTime.Text(ask.Now, zone)}", "It is yet to come: ask some days after it.")
        : null;

    private static (List<Quarters> Courses, int Damaged) Courses(string folder, string station, DateTimeOffset from, DateTimeOffset to, CancellationToken stop)
    {
        using var history = new History(folder, KeptLog.BusySeconds);
        var past = history.Read(station, TankHistory.Channels, from, to, (int)(to - from).TotalHours * 4, stop);
        var length = TimeSpan.FromMilliseconds(past.StepMs);
        var read = past.Series.Where(series => series.Value.Count > 0).ToList();
        if (read.Count == 0) return ([], history.Damaged);
        // No longer than was read: what is beyond is no gap.
        var (first, last) = (read.Min(series => series.Value[0].StartMs), read.Max(series => series.Value[^1].StartMs));
        var (begin, end) = (DateTimeOffset.FromUnixTimeMilliseconds(first), DateTimeOffset.FromUnixTimeMilliseconds(last) + length);
        return ([.. read.Select(series => Quarters.Of(series.Key, series.Value.Select(bucket => new Stretch(DateTimeOffset.FromUnixTimeMilliseconds(bucket.StartMs), length, bucket.Mean)), begin, end))], history.Damaged);
    }
}
