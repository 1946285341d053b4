using System.Text.Json;

namespace Evenwater.Scoring;

/// <summary>Where one trace of a folder is: NAME.meta.json, NAME.csv or NAME.csv.gz, and perhaps NAME.truth.csv(.gz).</summary>
internal sealed record TracePlace(string Name, string Description, string Data, string? Truth)
{
    /// <summary>How a description's file name ends.</summary>
    public const string Suffix = ".meta.json";

    /// <summary>The traces of the folder itself, by name.</summary>
    public static IReadOnlyList<TracePlace> In(string folder) =>
        [.. Directory.GetFiles(folder, $"*{Suffix}").Order(StringComparer.Ordinal).Select(Of)];

    /// <summary>What kind of night it is, and what really happened.</summary>
    /// <exception cref="InvalidDataException">The description is not JSON, or its truth is not one.</exception>
    public (string Kind, TraceTruth? Truth) ReadTruth()
    {
        try
        {
            using var document = JsonDocument.Parse(File.ReadAllText(Description));
            var kind = document.RootElement.ValueKind == JsonValueKind.Object && document.RootElement.TryGetProperty("family", out var family)
                ? family.ToString()
                : "";
            return (kind.Length > 0 ? kind : KindByName(), TraceTruth.Read(document.RootElement));
        }
        catch (JsonException e)
        {
            throw new InvalidDataException($"{Description}: not JSON: {e.Message}", e);
        }
        catch (InvalidDataException e)
        {
            throw new InvalidDataException($"{Description}: {e.Message}", e);
        }
    }

    private static TracePlace Of(string description)
    {
        var stem = description[..^Suffix.Length];
        var data = $"{stem}.csv";
        string[] truths = [$"{stem}.truth.csv", $"{stem}.truth.csv.gz"];
        return new TracePlace(Path.GetFileName(stem), description, File.Exists(data) ? data : $"{data}.gz", truths.FirstOrDefault(File.Exists));
    }

    /// <summary>NAME-7 is a night of kind NAME.</summary>
    private string KindByName() => Name.LastIndexOf('-') is > 0 and var dash ? Name[..dash] : Name;
}
