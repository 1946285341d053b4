using System.Text.Json;
using Evenwater.Running;

namespace Evenwater.Log;

/// <summary>Whether an entry's body is one of its kind: whoever reads a log later trusts that it is.</summary>
internal static class EntryBodies
{
    /// <summary>Whether it is, and all else of its row. A worn card gives back other bytes, and SQLite sees nothing wrong with the file.</summary>
    public static bool AreWhole(Entry entry)
    {
        if (entry.Spoilt)
        {
            return false;
        }

        try
        {
            Check(entry.Kind, entry.Body);
            return true;
        }
        catch (JsonException)
        {
            return false;
        }
    }

    /// <summary>Reads it and lets it go.</summary>
    /// <exception cref="JsonException">It has none, or one that is not of its kind.</exception>
    public static void Check(EntryKind kind, string? body)
    {
        _ = kind switch
        {
            EntryKind.Cycle => body is null ? null : (object)LogJson.Read<CycleBody>(body),
            _ when body is null => throw new JsonException("it has no body"),
            EntryKind.Command => LogJson.Read<CommandBody>(body),
            EntryKind.Run => LogJson.Read<RunBody>(body),
            EntryKind.Valve => LogJson.Read<ValveBody>(body),
            EntryKind.Trip => LogJson.Read<TripBody>(body),
            EntryKind.Alarm => LogJson.Read<AlarmBody>(body),
            EntryKind.Forecast => LogJson.Read<ForecastBody>(body),
            EntryKind.Say => LogJson.Read<SayBody>(body),
            EntryKind.Event => LogJson.Read<EventBody>(body),
            EntryKind.Note => LogJson.Read<NoteBody>(body),
            _ => throw new JsonException($"there is no kind {kind}"),
        };
    }
}
