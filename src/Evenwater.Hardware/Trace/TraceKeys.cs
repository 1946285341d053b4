using System.Text.Json;

namespace Evenwater.Hardware.Trace;

/// <summary>What a number may be; the lower end itself may be shut out.</summary>
internal readonly record struct Range(double Least, double Most, bool MoreThanLeast = false)
{
    public static Range FromNothing(double most) => new(0, most);

    public static Range MoreThanNothing(double most) => new(0, most, MoreThanLeast: true);

    public bool Holds(double value) => (MoreThanLeast ? value > Least : value >= Least) && value <= Most;

    public override string ToString() => $"{(MoreThanLeast ? "more than " : "")}{Least:0.######} to {Most:0.######}";
}

/// <summary>The keys of one JSON object of a trace's description, with errors that name the path, the value and the range.</summary>
internal readonly record struct TraceKeys(JsonElement Element, string Path)
{
    public string? Text(string key) => !Has(key, out var value) ? null
        : value.ValueKind == JsonValueKind.String ? value.GetString()
        : throw new InvalidDataException($"{Path}.{key}: {value.GetRawText()} is not a text");

    public double? Number(string key, Range range) => !Has(key, out var value) ? null
        : value.ValueKind != JsonValueKind.Number || !value.TryGetDouble(out var number) || !double.IsFinite(number)
            ? throw new InvalidDataException($"{Path}.{key}: {value.GetRawText()} is not a number; allowed is {range}")
        : range.Holds(number) ? number
        : throw new InvalidDataException($"{Path}.{key}: {value.GetRawText()} is not allowed; allowed is {range}");

    public double Need(string key, Range range) =>
        Number(key, range) ?? throw new InvalidDataException($"{Path}.{key} is missing; allowed is {range}");

    public bool HasNumber(string key) => Has(key, out var value) && value.ValueKind == JsonValueKind.Number;

    /// <summary>The names of all keys that hold a number, in the file's order.</summary>
    public IEnumerable<string> Numbers() => Element.ValueKind == JsonValueKind.Object
        ? Element.EnumerateObject().Where(p => p.Value.ValueKind == JsonValueKind.Number).Select(p => p.Name)
        : throw new InvalidDataException($"{Path} is not an object");

    public IEnumerable<TraceKeys> Items(string key)
    {
        if (!Has(key, out var value))
        {
            return [];
        }

        var path = $"{Path}.{key}";
        return value.ValueKind == JsonValueKind.Array
            ? value.EnumerateArray().Select((item, i) => new TraceKeys(item, $"{path}[{i}]"))
            : throw new InvalidDataException($"{path}: {value.GetRawText()} is not a list");
    }

    private bool Has(string key, out JsonElement value)
    {
        value = default;
        return Element.ValueKind == JsonValueKind.Object
            ? Element.TryGetProperty(key, out value) && value.ValueKind != JsonValueKind.Null
            : throw new InvalidDataException($"{Path} is not an object");
    }
}
