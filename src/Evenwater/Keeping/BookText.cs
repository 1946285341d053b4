using Evenwater.Core.Keeping;
using Evenwater.Core.Standing;

namespace Evenwater.Keeping;

/// <summary>A book in lines for a terminal.</summary>
internal static class BookText
{
    /// <summary>What stands, oldest first; with everything else too when asked.</summary>
    /// <param name="book">The book.</param>
    /// <param name="zone">The keeper's time zone.</param>
    /// <param name="kind">This kind alone; none for all.</param>
    /// <param name="span">From this time on, and before that.</param>
    /// <param name="all">Also what was taken back, and what each note said before.</param>
    /// <param name="isKept">Whether a photograph's file is there; null where that can not be told.</param>
    public static IEnumerable<string> Of(Book book, TimeZoneInfo zone, NoteKind kind, (DateTimeOffset? From, DateTimeOffset? To) span, bool all, Func<string, bool>? isKept = null)
    {
        var matters = book.Matters
            .Where(matter => (all || !matter.Withdrawn) && (kind == NoteKind.None || matter.Said.Kind == kind))
            .Where(matter => (span.From is null || matter.Said.At >= span.From) && (span.To is null || matter.Said.At < span.To))
            .OrderBy(matter => matter.Said.At ?? DateTimeOffset.MaxValue);
        foreach (var matter in matters)
        {
            var former = matter.Notes.Count - 1;
            var mark = matter.Withdrawn ? "  (taken back)" : former > 0 && !all ? $"  (corrected, {former} before)" : "";
            yield return Line(matter.Said, zone) + mark;
            foreach (var name in all ? matter.Notes.SelectMany(note => note.Photographs ?? []).Distinct() : [])
            {
                yield return $"      photograph {name}{(isKept?.Invoke(name) == false ? "; its file is deleted" : "")}";
            }

            foreach (var note in all ? matter.Notes.Where(note => note != matter.Said) : [])
            {
                yield return note.Withdrawn
                    ? $"      {note.Id,-5} {KeptTime.Text(note.WrittenAt, zone)}  took {note.Corrects} back, {note.By}"
                    : $"      was {Line(note, zone)}";
            }
        }
    }

    /// <summary>One note in one line.</summary>
    public static string Line(Note note, TimeZoneInfo zone) =>
        $"{note.Id,-5} {KeptTime.Text(note.At, zone)}  {NoteKinds.Name(note.Kind),-13} {Words(note)}  ({note.By})";

    /// <summary>What it says, amounts first, on one line.</summary>
    public static string Words(Note note) => string.Join("; ", ((string[])
    [
        note.Litres is { } litres ? $"{litres:0.###} L" : "",
        note.Amount is { } amount ? $"{amount:0.###} {(amount == 1 ? note.Unit?.TrimEnd('s') : note.Unit)}" : "",
        .. note.Calibration is { } made ? made.Values.Select(value => $"{value.Key} = {value.After:0.######} {value.Unit}").Prepend(made.Probe) : [],
        note.Arrival is { } animals ? ArrivalText.Words(animals) : "",
        note.Outcome is { } outcome ? ArrivalText.Words(outcome) : "",
        note.Test is { } test ? TankText.Reading(test) : "",
        note.Observation is { } look ? $"{Sights.Name(look.Of)} {look.Step}, {Sights.Words(look.Of, look.Step)}" : "",
        note.Trouble is { } trouble ? $"{trouble.Step.ToString().ToLowerInvariant()} {trouble.Name ?? trouble.Of}" : "",
        OneLine(note.Text),
        note.Photographs is { Count: > 0 } photographs ? $"{photographs.Count} photograph{(photographs.Count == 1 ? "" : "s")}" : "",
    ]).Where(part => part.Length > 0));

    /// <summary>A text on one line, without what a terminal would act on: control characters, and what turns the direction of all that follows, the writer's name too.</summary>
    public static string OneLine(string text) => string.Concat(text.ReplaceLineEndings(" ").Replace('\t', ' ').Where(c => !char.IsControl(c) && !NoteRules.Turns(c))).Trim();
}
