using Evenwater.Core.Keeping;
using Evenwater.Core.Review.Comparing;
using Evenwater.Core.Safety;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Keeping;

/// <summary>Everything that is known to have happened at a tank: the book, runs, alarms, what the station file said, and where readings are missing.</summary>
internal static class TankKnown
{
    private const int Most = 2000;
    private const int CutQuarters = 2;     // half an hour without any reading is more than a start of the program takes
    private const int ProbeQuarters = 4;
    private const string Opening = "opening"; // is written before the valve opens
    private static readonly EntryKind[] Kinds = [EntryKind.Run, EntryKind.Trip, EntryKind.Alarm];
    private static readonly TimeSpan Quarter = TimeSpan.FromMinutes(15);

    /// <summary>In no order.</summary>
    public static IReadOnlyList<Else> Of(SpanReader log, string folder, string station, IReadOnlyCollection<Quarters> courses, IEnumerable<Note> notes, DateTimeOffset from, DateTimeOffset to) =>
    [
        .. notes.Where(note => note.At >= from && note.At < to).Select(Of),
        .. Entries(log, station, from, to),
        .. SettingChanges.Of(folder, station, from, to),
        .. Missing(courses),
    ];

    /// <summary>A note as something that happened.</summary>
    public static Else Of(Note note) => new(ElseKind.Note, note.At!.Value, note.At.Value, $"{NoteKinds.Name(note.Kind)} ({note.Id})") { Note = note };

    private static IEnumerable<Else> Entries(SpanReader log, string station, DateTimeOffset from, DateTimeOffset to)
    {
        var runs = new Dictionary<long, (DateTimeOffset From, DateTimeOffset To, bool Dripped)>();
        foreach (var entry in log.Happened(station, Kinds, from, to, Most))
        {
            var at = entry.Wall!.Value;
            if (entry is { Kind: EntryKind.Run, RunId: { } run })
            {
                // One whose beginning lies before the span is told by its end alone, and may have dripped.
                var phase = LogJson.Read<RunBody>(entry.Body!).Phase;
                runs[run] = runs.TryGetValue(run, out var known) ? (known.From, at, known.Dripped || phase == Words.Of(Phase.Dripping)) : (at, at, phase != Opening && phase != Words.Of(Phase.Armed));
            }
            else if (entry.Kind == EntryKind.Trip) yield return new(ElseKind.Alarm, at, at, $"closed for safety: {LogJson.Read<TripBody>(entry.Body!).Cause}");
            else if (entry.Kind == EntryKind.Alarm && LogJson.Read<AlarmBody>(entry.Body!) is { Calls: true, UnseenCalls: null or <= 1 } alarm) yield return new(ElseKind.Alarm, at, at, $"alarm: {alarm.Title}");
        }

        foreach (var (run, span) in runs.Where(one => one.Value.Dripped)) yield return new(ElseKind.Run, span.From, span.To, $"run {run}, which took water out of the tank");
    }

    /// <summary>Half an hour or more in which nothing was read, and an hour or more in which one probe was not.</summary>
    private static IEnumerable<Else> Missing(IReadOnlyCollection<Quarters> courses)
    {
        if (courses.Count == 0) yield break;
        var known = courses.Select(course => (course.Channel, course.Seen)).ToList();
        var count = known.Min(one => one.Seen.Count);
        var at = courses.First();
        foreach (var (begin, end) in Gaps(count, i => known.TrueForAll(one => one.Seen[i] is null), CutQuarters))
        {
            yield return new(ElseKind.Cut, at.At(begin), at.At(end), $"nothing was read for {Hours(end - begin)}: no power, or the program was stopped");
        }

        foreach (var (channel, seen) in known.Where(_ => known.Count > 1))
        {
            foreach (var (begin, end) in Gaps(count, i => seen[i] is null && known.Exists(one => one.Seen[i] is not null), ProbeQuarters))
            {
                yield return new(ElseKind.Probe, at.At(begin), at.At(end), $"the {DidWords.Name(channel)} could not be read for {Hours(end - begin)}");
            }
        }
    }

    /// <summary>Between readings: what lies before the first or after the last is none.</summary>
    private static IEnumerable<(int Begin, int End)> Gaps(int count, Func<int, bool> missing, int least)
    {
        var (begin, seen) = (-1, false);
        for (var i = 0; i < count; i++)
        {
            if (missing(i))
            {
                if (begin < 0) begin = i;
                continue;
            }

            if (begin >= 0 && seen && i - begin >= least) yield return (begin, i);
            (begin, seen) = (-1, true);
        }
    }

    private static string Hours(int quarters) => $"{(quarters * Quarter).TotalHours:0.#} h";
}
