using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using Evenwater.Core.Stations;

namespace Evenwater.Options;

/// <summary>
/// Compares a JSON tree with the types it is meant for, and finds every unknown key, wrong kind of value and missing key at once,
/// where a deserialiser would stop at the first.
/// </summary>
internal static class JsonShape
{
    private const int LongestQuote = 40;

    public static IReadOnlyList<Problem> Check(JsonElement element, JsonTypeInfo type, string file)
    {
        var problems = new List<Problem>();
        CheckObject(element, type, "", file, new KnownKeys(type), problems);
        return problems;
    }

    private static void CheckObject(JsonElement element, JsonTypeInfo type, string path, string file, KnownKeys known, List<Problem> problems)
    {
        if (element.ValueKind != JsonValueKind.Object)
        {
            problems.Add(new Problem(path.Length == 0 ? "(file)" : path, Quote(element), "an object, { ... }", "Put the keys of this part inside braces."));
            return;
        }

        foreach (var given in element.EnumerateObject())
        {
            var key = JsonLines.Join(path, given.Name);
            if (type.Properties.FirstOrDefault(p => p.Name == given.Name) is not { } property)
                problems.Add(new Problem(key, "unknown key", $"the keys of {(path.Length == 0 ? file : path)}", known.Advice(path, given.Name, type)));
            else
                CheckValue(given.Value, property.PropertyType, property.IsSetNullable, Needed(type, property), key, file, type.Options, known, problems);
        }

        foreach (var property in type.Properties)
        {
            if (Needed(type, property) && !element.TryGetProperty(property.Name, out _))
            {
                var key = JsonLines.Join(path, property.Name);
                problems.Add(new Problem(key, "not given", Kind(property.PropertyType), "Add this key."));
            }
        }
    }

    /// <summary>Whether a key must be there. A struct has no default that was thought about: all of its must.</summary>
    private static bool Needed(JsonTypeInfo type, JsonPropertyInfo property) => property.IsRequired || (type.Type.IsValueType && !property.IsSetNullable);

    private static void CheckValue(JsonElement value, Type declared, bool nullable, bool needed, string key, string file, JsonSerializerOptions options, KnownKeys known, List<Problem> problems)
    {
        var type = Nullable.GetUnderlyingType(declared) ?? declared;
        if (value.ValueKind == JsonValueKind.Null && (nullable || type != declared)) return;
        var info = options.GetTypeInfo(type);
        if (info.Kind == JsonTypeInfoKind.Object)
        {
            CheckObject(value, info, key, file, known, problems);
        }
        else if (info.Kind == JsonTypeInfoKind.Enumerable && value.ValueKind == JsonValueKind.Array)
        {
            var index = 0;
            foreach (var item in value.EnumerateArray())
                CheckValue(item, info.ElementType!, nullable: info.ElementType == typeof(string), needed: false, $"{key}[{index++}]", file, options, known, problems); // what a text must be its file's rules tell, of null too
        }
        else if (!Fits(value, type))
        {
            problems.Add(new Problem(key, Quote(value), Kind(type), Advice(value, type, needed)));
        }
    }

    private static bool Fits(JsonElement value, Type type) => value.ValueKind switch
    {
        JsonValueKind.Number when type == typeof(double) => value.TryGetDouble(out var number) && double.IsFinite(number),
        JsonValueKind.Number when type == typeof(int) => value.TryGetInt32(out _),
        JsonValueKind.String when type == typeof(string) => value.GetString() is not null,
        JsonValueKind.String when type.IsEnum => Names(type).Contains(value.GetString()!, StringComparer.Ordinal),
        JsonValueKind.True or JsonValueKind.False => type == typeof(bool),
        _ => false,
    };

    private static string Kind(Type declared)
    {
        var type = Nullable.GetUnderlyingType(declared) ?? declared;
        if (type == typeof(double)) return "a number";
        if (type == typeof(int)) return "a whole number";
        if (type == typeof(bool)) return "true or false";
        if (type == typeof(string)) return "text in quotes";
        if (type.IsEnum) return string.Join(" or ", Names(type).Select(name => $"\"{name}\""));
        return type.IsAssignableTo(typeof(System.Collections.IEnumerable)) ? "a list, [ ... ]" : "an object, { ... }";
    }

    private static string Advice(JsonElement value, Type type, bool needed) => value.ValueKind switch
    {
        JsonValueKind.String when type == typeof(double) || type == typeof(int) => "Write the bare number: the unit is in the key.",
        JsonValueKind.String when type.IsEnum => KnownKeys.Nearest(value.GetString()!, Names(type)) is { } nearest ? $"Did you mean \"{nearest}\"?" : "Write one of these.",
        JsonValueKind.Null => needed ? "Give a value." : "Give a value, or take the key out.",
        _ => "Write a value of that kind.",
    };

    private static string[] Names(Type type) => [.. Enum.GetNames(type).Select(JsonNamingPolicy.CamelCase.ConvertName)];

    private static string Quote(JsonElement value)
    {
        var text = value.GetRawText().ReplaceLineEndings(" ");
        return text.Length <= LongestQuote ? text : $"{text[..LongestQuote]}...";
    }
}
