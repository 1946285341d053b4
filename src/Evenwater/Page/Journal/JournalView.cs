using Evenwater.Core.Keeping;
using Evenwater.Keeping;

namespace Evenwater.Page.Journal;

/// <summary>All that the journal page shows, besides its visit.</summary>
public sealed record JournalView
{
    /// <summary>The whole book.</summary>
    public required Book Book { get; init; }

    /// <summary>This place's clock.</summary>
    public required TimeZoneInfo Zone { get; init; }

    /// <summary>What the station's clock says.</summary>
    public required DateTimeOffset Now { get; init; }

    /// <summary>What is looked for.</summary>
    public required JournalFind Find { get; init; }

    /// <summary>Whether a photograph's file is still there.</summary>
    public required Func<string, bool> IsKept { get; init; }

    /// <summary>The kind of a new note whose form is open; none for no form.</summary>
    public NoteKind New { get; init; }

    /// <summary>What is being corrected; null for a new note, or no form.</summary>
    public Matter? Editing { get; init; }

    /// <summary>The entry whose further acts stand open, because one of them was refused: any of its notes' names.</summary>
    public string? Open { get; init; }

    /// <summary>What is asked of the keeper, in sentences.</summary>
    public IEnumerable<string> ToDo =>
        from came in Arrivals.Of(Book)
        from due in came.Due(Now)
        select $"Look at the animals of {came.Note.Id} ({came.Animals.Count} × {came.Animals.Species}): their {(due.Look == Look.Day ? "day" : "week")} was over at {KeptTime.Text(due.At, Zone)}.";

    /// <summary>How the book stands, in a sentence.</summary>
    public string Sentence
    {
        get
        {
            var standing = Book.Standing.ToList();
            return standing.Count == 0
                ? "Nothing stands in this book yet."
                : $"{(standing.Count == 1 ? "One entry stands" : $"{standing.Count} entries stand")} in this book. The last: {Words(standing.LastOrDefault(note => note.At is not null) ?? standing[^1])}.";
        }
    }

    private string Words(Note note)
    {
        var said = BookText.Words(note);
        const int Most = 90;
        return $"{KindFields.Title(note.Kind).ToLowerInvariant()}{(said.Length == 0 ? "" : $", {Plain.Shortened(said, Most)}")}, {KeptTime.Text(note.At, Zone).Trim()}, by {note.By}";
    }
}
