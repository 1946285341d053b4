using System.Globalization;
using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Keeping;
using Evenwater.Core.Review;
using Evenwater.Keeping;
using Evenwater.Log;

namespace Evenwater.Page.Charts;

/// <summary>What happened in a span: the book's notes, runs, trips, the alarms that called somebody, and swings when they are asked for.</summary>
internal static class HistoryMarks
{
    /// <summary>More numbers can not be told apart on an axis, and nobody reads a longer list. Our own choice.</summary>
    public const int Most = 60;

    /// <summary>Longest span in which swings are looked for, as by `review`.</summary>
    public const double MostSwingDays = 150;

    private const int MostRead = 2000;
    private static readonly EntryKind[] s_kinds = [EntryKind.Run, EntryKind.Trip, EntryKind.Alarm];

    /// <summary>What tells most when not all can be shown.</summary>
    private static readonly string[] s_first = ["note", "trip", "swing", "alarm", "run"];

    public static (IReadOnlyList<HistoryMark> Marks, int LeftOut) Of(SpanReader log, string folder, HistoryAsk ask, CancellationToken stop)
    {
        List<HistoryMark> all = [];
        using var book = new LogReader(folder, KeptLog.BusySeconds);
        foreach (var station in ask.Channels.Select(channel => channel.Station).Distinct())
        {
            all.AddRange(Books.Of(book, station).Standing.Where(note => note.At >= ask.From && note.At < ask.To)
                .Select(note => new HistoryMark(0, note.At!.Value, "note", station, $"{NoteKinds.Name(note.Kind)}: {BookText.Words(note)} ({note.By})")));
            all.AddRange(log.Happened(station, s_kinds, ask.From, ask.To, MostRead).Select(Mark).OfType<HistoryMark>());
            if (ask.Swings && (ask.To - ask.From).TotalDays <= MostSwingDays) all.AddRange(Swung(folder, station, ask, stop));
        }

        var kept = all.OrderBy(mark => Array.IndexOf(s_first, mark.Kind)).ThenByDescending(mark => mark.At).Take(Most).OrderBy(mark => mark.At);
        return ([.. kept.Select((mark, i) => mark with { Number = i + 1 })], Math.Max(0, all.Count - Most));
    }

    private static HistoryMark? Mark(Entry entry) => entry.Kind switch
    {
        EntryKind.Run when LogJson.Read<RunBody>(entry.Body!) is var run => Of(entry, "run", $"run {entry.RunId}: {run.Phase}, {run.Why}"),
        EntryKind.Trip => Of(entry, "trip", $"closed for safety: {LogJson.Read<TripBody>(entry.Body!).Cause}"),
        // The first call of each alone: those that repeat it tell nothing new.
        EntryKind.Alarm when LogJson.Read<AlarmBody>(entry.Body!) is { Calls: true, UnseenCalls: null or <= 1 } alarm => Of(entry, "alarm", alarm.Title),
        _ => null,
    };

    private static HistoryMark Of(Entry entry, string kind, string text) => new(0, entry.Wall!.Value, kind, entry.Station, BookText.OneLine(text));

    private static IEnumerable<HistoryMark> Swung(string folder, string station, HistoryAsk ask, CancellationToken stop)
    {
        var back = LookBack.Read(folder, station, (ask.From, ask.To), ask.Zone, stop);
        if (back.Courses.Count == 0) yield break;
        var course = back.Courses.Values.First();
        foreach (var episode in back.Episodes.Where(episode => course.At(episode.At) >= ask.From && course.At(episode.At) < ask.To))
        {
            var swing = episode.Strongest;
            var cause = Causes.Of(episode, back.Courses, back.Happened)[0].Cause;
            var moved = swing.Shape == SwingShape.Unrest ? LookBackText.Size(back, episode) : $"{(LookBackText.Change(back, episode) < 0 ? "fell" : "rose")} by {Math.Abs(LookBackText.Change(back, episode)).ToString("0.##", CultureInfo.InvariantCulture)} {(swing.Channel == Channel.TankConductivity ? "%" : ChannelLook.Of(swing.Channel).Unit)}";
            var why = cause == Cause.NothingKnown ? "nothing known explains it best" : $"likeliest: {LookBackText.Words(cause)}";
            yield return new(0, course.At(episode.At), "swing", station, $"{ChannelLook.Of(swing.Channel).Label} {moved}; {why}");
        }
    }
}
