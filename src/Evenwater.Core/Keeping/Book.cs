using System.Globalization;

namespace Evenwater.Core.Keeping;

/// <summary>What stands in a station's book, made of all its notes in the order they were written; each with its history.</summary>
public sealed class Book
{
    private const string Prefix = "n";

    private readonly List<Matter> _matters = [];
    private readonly Dictionary<string, Matter> _byId = new(StringComparer.Ordinal);

    private Book()
    {
    }

    /// <summary>Everything that was ever noted, withdrawn things too, in the order it was first written.</summary>
    public IReadOnlyList<Matter> Matters => _matters;

    /// <summary>What stands now, by when it happened; what has no time yet comes last.</summary>
    public IEnumerable<Note> Standing => Written.OrderBy(note => note.At ?? DateTimeOffset.MaxValue);

    /// <summary>What stands now, in the order it was first written: of calibrations the one written last holds, whatever a clock said that was not set or went wrong.</summary>
    public IEnumerable<Note> Written => _matters.Where(matter => !matter.Withdrawn).Select(matter => matter.Now);

    /// <summary>The name of the next note.</summary>
    public string NextId => Prefix + (_byId.Keys.Max(Number) + 1 ?? 1).ToString(CultureInfo.InvariantCulture);

    /// <summary>The book of these notes. A note that names one which is not there stands by itself: nothing that was written is hidden.</summary>
    /// <param name="notes">All notes of one station, in the order they were written.</param>
    public static Book Of(IEnumerable<Note> notes)
    {
        var book = new Book();
        foreach (var note in notes)
        {
            var matter = note.Corrects is { } former ? book.Find(former) : null;
            if (matter is null)
            {
                matter = new Matter();
                book._matters.Add(matter);
            }

            matter.Add(note);
            book._byId[note.Id] = matter;
        }

        return book;
    }

    /// <summary>What a note is part of, or null.</summary>
    /// <param name="id">The name of any of its notes, also of one that was replaced.</param>
    public Matter? Find(string id) => _byId.GetValueOrDefault(id);

    private static long? Number(string id) =>
        id.StartsWith(Prefix, StringComparison.Ordinal) && long.TryParse(id.AsSpan(Prefix.Length), NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : null;
}

/// <summary>One thing that was noted: the note that stands, and those it replaced.</summary>
public sealed class Matter
{
    private readonly List<Note> _notes = [];

    /// <summary>Every note about it, oldest first; at least one.</summary>
    public IReadOnlyList<Note> Notes => _notes;

    /// <summary>The latest note.</summary>
    public Note Now => _notes[^1];

    /// <summary>Whether it was taken back.</summary>
    public bool Withdrawn => Now.Withdrawn;

    /// <summary>What it said before it was taken back; else as it stands.</summary>
    public Note Said => _notes.FindLast(note => !note.Withdrawn) ?? Now;

    internal void Add(Note note) => _notes.Add(note);
}
