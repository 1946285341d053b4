using Evenwater.Core.Keeping;
using Evenwater.Log;

namespace Evenwater.Keeping;

/// <summary>The keeper's books as the log has them.</summary>
internal static class Books
{
    /// <summary>The whole book of a station.</summary>
    public static Book Of(LogReader log, string station) => Book.Of(Notes(log, station));

    /// <summary>All its notes in the order they were written, with the entry's date where no clock had been set by then.</summary>
    public static IEnumerable<Note> Notes(LogReader log, string station) => log.Notes(station).Select(entry =>
    {
        var note = LogJson.Read<NoteBody>(entry.Body!).Note;
        return note with { At = note.At ?? entry.Wall, WrittenAt = note.WrittenAt ?? entry.Wall };
    });
}
