using System.Text.Json;
using Evenwater.Core.Estimation;
using Evenwater.Hardware.Trace;

namespace Evenwater.Nights.Scoring;

/// <summary>One recorded night with what really happened. Null: it did not happen within the trace.</summary>
public sealed record Night(string Name, string Family, Prior Prior, IReadOnlyList<TraceRow> Rows, double? MatchSeconds, double? BrimSeconds)
{
    /// <summary>What really happened besides; null when nobody knows.</summary>
    public NightTruth? Truth { get; init; }

    public static Night Read(string metaPath)
    {
        var name = Path.GetFileName(metaPath)[..^".meta.json".Length];
        using var document = JsonDocument.Parse(File.ReadAllBytes(metaPath));
        var truth = document.RootElement.GetProperty("truth");
        using var file = TraceFile.Open(Path.Combine(Path.GetDirectoryName(metaPath)!, name + ".csv.gz"));
        var rows = file.Rows().ToArray();
        return file.RejectedCount > 0
            ? throw new InvalidDataException($"{name}: {file.Rejected[0]}")
            : new Night(name, name[..name.LastIndexOf('-')], TracePrior.Read(metaPath), rows, Seconds(truth, "t_match_s"), Seconds(truth, "t_brim_s"));
    }

    public static IReadOnlyList<Night> ReadAll(string folder) =>
        [.. Directory.GetFiles(folder, "*.meta.json").Order(StringComparer.Ordinal).Select(Read)];

    private static double? Seconds(JsonElement truth, string key) =>
        truth.TryGetProperty(key, out var value) && value.ValueKind == JsonValueKind.Number ? value.GetDouble() : null;
}
