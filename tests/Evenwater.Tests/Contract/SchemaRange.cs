using System.Globalization;
using System.Text.Json.Nodes;

namespace Evenwater.Tests.Contract;

/// <summary>Values at the ends of what a schema lets a key be, and just outside.</summary>
internal static class SchemaRange
{
    /// <summary>Values that a key must not have, and for the ends of a range, what the program must say is allowed.</summary>
    public static IEnumerable<(JsonNode? Value, string? Range)> Outside(JsonObject told)
    {
        if (told["properties"] is not null || told["items"] is not null || (string?)told["type"]?.ToString() == "boolean")
        {
            yield return (JsonValue.Create("yes"), null);
            yield break;
        }

        if (told["pattern"] is not null || told["enum"] is not null)
        {
            yield return (told["x-unit"] is null ? JsonValue.Create(" ") : JsonValue.Create(1.0), null);
            yield break;
        }

        var whole = told["type"]!.ToJsonString().Contains("integer", StringComparison.Ordinal);
        foreach (var (end, outwards, range) in Ends(told))
        {
            yield return (whole ? JsonValue.Create((int)end + outwards) : JsonValue.Create(end + (outwards * Math.Max(1e-6, Math.Abs(end) * 1e-6))), range);
        }

        if (told["exclusiveMinimum"] is { } open) yield return (open, null);
        if (told["multipleOf"] is { } step) yield return (JsonValue.Create((double)told["minimum"]! + (0.5 * (double)step)), null);
        yield return (JsonValue.Create("5"), null);
    }

    /// <summary>The ends themselves, and how the program tells the range.</summary>
    public static IEnumerable<(JsonNode Value, string Range)> Bounds(JsonObject told) => Ends(told).Where(end => end.Range is not null).Select(end => ((JsonNode)JsonValue.Create(end.At), end.Range!));

    /// <summary>Each end of each range, with the direction that leads out of it, and how the program tells the range; one that is open at one side is told otherwise.</summary>
    private static IEnumerable<(double At, int Outwards, string? Range)> Ends(JsonObject told) => (told["anyOf"]?.AsArray() ?? [told.DeepClone()]).SelectMany(part =>
    {
        var (low, high) = ((double?)part!["minimum"], (double?)part["maximum"]);
        var first = told["anyOf"]?[0] ?? told; // the program tells the first range, "or the same below 0"
        var range = (double?)first["minimum"] is { } from && (double?)first["maximum"] is { } to ? $"{Text(from)} to {Text(to)} " : null;
        return new (double? At, int Outwards, string? Range)[] { (low, -1, range), (high, 1, range) }.Where(end => end.At is not null).Select(end => (end.At!.Value, end.Outwards, end.Range));
    });

    public static string Text(double value) => value.ToString("0.######", CultureInfo.InvariantCulture);
}
