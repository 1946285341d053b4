using System.Buffers;
using System.Text.Json;

namespace Evenwater.Followers;

/// <summary>Who asks, as far as a payload that need not be in order says: a close is obeyed whatever it holds.</summary>
internal static class AskBy
{
    /// <summary>The largest payload of a command, bytes.</summary>
    public const int MaxPayloadBytes = 4096;

    private const int MaxNameLength = 64;

    /// <summary>The name, or what is wrong with the payload; both null for an empty one.</summary>
    public static (string? By, string? Problem) Read(in ReadOnlySequence<byte> payload)
    {
        if (payload.Length > MaxPayloadBytes)
        {
            return (null, $"payload: {payload.Length} bytes; allowed: 0 to {MaxPayloadBytes}");
        }

        if (payload.IsEmpty)
        {
            return (null, null);
        }

        try
        {
            using var json = JsonDocument.Parse(payload);
            if (json.RootElement.ValueKind != JsonValueKind.Object)
            {
                return (null, $"payload: {Kind(json.RootElement)}; allowed: empty or a JSON object");
            }

            if (!json.RootElement.TryGetProperty("by", out var by))
            {
                return (null, null);
            }

            return by.ValueKind == JsonValueKind.String && by.GetString() is { Length: > 0 and <= MaxNameLength } name
                ? (Shown(name), null)
                : (null, $"payload.by: {Kind(by)}; allowed: a string of 1 to {MaxNameLength} characters");
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException)
        {
            return (null, $"payload: not JSON ({e.Message}); allowed: empty or a JSON object");
        }
    }

    private static string Kind(JsonElement element) => element.ValueKind switch
    {
        JsonValueKind.String => $"a string of {element.GetString()!.Length} characters",
        _ => $"a JSON {JsonNamingPolicy.CamelCase.ConvertName(element.ValueKind.ToString())}",
    };

    /// <summary>Somebody else's text, short and without control characters, fit for a log line.</summary>
    public static string Shown(string text, int most = MaxNameLength)
    {
        var clean = string.Concat(text.Where(c => !char.IsControl(c)));
        return clean.Length <= most ? clean : clean[..most] + "...";
    }
}
