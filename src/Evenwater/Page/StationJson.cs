using System.Text.Json;
using System.Text.Json.Serialization;

namespace Evenwater.Page;

/// <summary>What closing answered.</summary>
/// <param name="Station">The station.</param>
/// <param name="Sentence">The answer.</param>
public sealed record Answer(string Station, string Sentence);

/// <summary>The interface's JSON: names in camel case, words for states, null for a time beyond the horizon.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    UseStringEnumConverter = true,
    Converters = [typeof(FiniteOrNull)])]
[JsonSerializable(typeof(Posted))]
[JsonSerializable(typeof(Answer))]
internal sealed partial class StationJson : JsonSerializerContext;

/// <summary>JSON has no infinity: what lies beyond the horizon is null.</summary>
internal sealed class FiniteOrNull : JsonConverter<double>
{
    public override double Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.TokenType == JsonTokenType.Null ? double.PositiveInfinity : reader.GetDouble();

    public override void Write(Utf8JsonWriter writer, double value, JsonSerializerOptions options)
    {
        if (double.IsFinite(value)) writer.WriteNumberValue(value);
        else writer.WriteNullValue();
    }
}
