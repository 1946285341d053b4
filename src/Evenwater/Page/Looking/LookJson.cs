using System.Text.Json.Serialization;

namespace Evenwater.Page.Looking;

/// <summary>The data of looking back: names in camel case, times with their offset from UTC, null for what is not known.</summary>
[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase, Converters = [typeof(FiniteOrNull)])]
[JsonSerializable(typeof(DidJson))]
[JsonSerializable(typeof(SwingsJson))]
internal sealed partial class LookJson : JsonSerializerContext;
