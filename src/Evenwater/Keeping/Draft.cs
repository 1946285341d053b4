using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;

namespace Evenwater.Keeping;

/// <summary>What became of a note that somebody wanted to write.</summary>
/// <param name="Note">As it is to be appended; null when it is in the book already, or refused.</param>
/// <param name="Text">What to answer.</param>
/// <param name="Problems">Why it is refused; none otherwise.</param>
internal sealed record Draft(Note? Note, string Text, IReadOnlyList<Problem> Problems)
{
    /// <summary>A message that a broker delivers twice, or a command that was repeated for want of an answer, comes within this, also when the clock was set back a little meanwhile.</summary>
    private static readonly TimeSpan Again = TimeSpan.FromMinutes(2);

    /// <summary>Judges a note against its station's book.</summary>
    /// <param name="wanted">Without a name; without a time when it has just happened.</param>
    /// <param name="book">The book as it stands.</param>
    /// <param name="station">Whose it is.</param>
    /// <param name="now">What the clock says; null while it has never been set.</param>
    /// <param name="isKept">Whether a photograph of that name is kept.</param>
    public static Draft Of(Note wanted, Book book, string station, DateTimeOffset? now, Func<string, bool>? isKept = null)
    {
        wanted = wanted with { Photographs = Photographs(wanted, book) };

        // Of what stands alone: a note that was taken back or replaced may be written once more. And before the rules, by which a correction of what is corrected is refused.
        var twin = book.Matters.Select(matter => matter.Now).LastOrDefault(note => (now - note.WrittenAt)?.Duration() <= Again && IsTwin(note, wanted));
        if (twin is not null)
        {
            return new Draft(null, $"It stands in the book of {station} already, as {twin.Id}: it was written just now.", []);
        }

        if (NoteRules.Problems(wanted, book, now, isKept) is { Count: > 0 } problems)
        {
            return new Draft(null, $"Not written: {string.Join(' ', problems)}", problems);
        }

        var note = wanted with { Id = book.NextId, At = wanted.At ?? (wanted.Withdrawn ? null : now), WrittenAt = now };
        return new Draft(note, Said(note, station), []);
    }

    /// <summary>A correction that says nothing of photographs keeps those that were there; an empty list leaves them out.</summary>
    private static IReadOnlyList<string>? Photographs(Note wanted, Book book)
    {
        var told = wanted is { Photographs: null, Withdrawn: false, Corrects: { } former } ? book.Find(former)?.Said.Photographs : wanted.Photographs;
        return told is { Count: > 0 } ? told : null;
    }

    private static string Said(Note note, string station) => note switch
    {
        { Withdrawn: true } => $"{note.Corrects} is taken back by {note.Id}; the book of {station} keeps both.",
        { Corrects: { } former } => $"{note.Id} stands in place of {former}; the book of {station} keeps both.",
        _ => $"Written as {note.Id} into the book of {station}: {NoteKinds.Name(note.Kind)}.",
    };

    private static bool IsTwin(Note note, Note wanted) =>
        note with { Id = wanted.Id, WrittenAt = wanted.WrittenAt, At = wanted.At is null ? null : note.At, Photographs = wanted.Photographs } == wanted
        && PhotographNames.Same(note.Photographs, wanted.Photographs);
}
