using System.Text.Json;
using Evenwater.Core.Keeping;
using Evenwater.Log;

namespace Evenwater.Keeping;

/// <summary>The keeper's books as the log has them.</summary>
internal static class Books
{
    /// <summary>The whole book of a station.</summary>
    public static Book Of(LogReader log, string station) => Book.Of(Notes(log, station));

    /// <summary>
    /// All its notes in the order they were written, with the entry's date where no clock had been set by then. In place of one that a worn card has spoilt stands that it can not be read: a
    /// feeding of last year must not keep the program from starting.
    /// </summary>
    /// <exception cref="JsonException">One that may have been a calibration can not be read: by what the probes are to be read is not known then.</exception>
    public static IEnumerable<Note> Notes(LogReader log, string station) => log.Notes(station).Select(entry =>
    {
        var note = Read(entry);
        return note with { At = note.At ?? entry.Wall, WrittenAt = note.WrittenAt ?? entry.Wall };
    });

    private static Note Read(Entry entry)
    {
        try
        {
            return LogJson.Read<NoteBody>(entry.Body!).Note;
        }
        catch (JsonException) when (!entry.Body!.Contains("alibrat", StringComparison.Ordinal))
        {
            return new Note
            {
                Id = Name(entry.Body!), Kind = NoteKind.Other, By = "the log",
                Text = $"What was noted here is damaged in the log and can not be read (entry {entry.Id}).",
            };
        }
    }

    /// <summary>Its name, where that is left: the next note must not take it.</summary>
    private static string Name(string damaged) =>
        damaged.Split("\"id\":\"", 2) is [_, var rest] && rest.Split('"', 2) is [['n', .. var number], _] && number.All(char.IsAsciiDigit) ? $"n{number}" : "";
}
