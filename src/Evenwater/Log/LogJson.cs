using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace Evenwater.Log;

/// <summary>How bodies and configurations are written: camelCase keys, enums by their camelCase name, nulls left out.</summary>
internal static class LogJson
{
    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase) },

        // Bodies are never put into HTML as they are; "°" and "µ" stay readable.
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    public static string Write<T>(T body) => JsonSerializer.Serialize(body, Options);

    public static T Read<T>(string json) => JsonSerializer.Deserialize<T>(json, Options)
        ?? throw new JsonException($"an empty {typeof(T).Name}");
}
