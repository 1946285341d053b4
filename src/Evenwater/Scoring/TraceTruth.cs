using System.Text.Json;

namespace Evenwater.Scoring;

/// <summary>Something that went wrong in a recorded night.</summary>
/// <param name="Seconds">When, s of the trace.</param>
/// <param name="Kind">What, as the file names it, such as flow_jump.</param>
/// <param name="Probe">Which probe, as the file names it, or null.</param>
/// <param name="Factor">By how much the flow changed, or null.</param>
internal sealed record TruthEvent(double Seconds, string Kind, string? Probe, double? Factor);

/// <summary>What really happened in a recorded night, from the "truth" of its description. Null: it did not happen within the trace.</summary>
internal sealed record TraceTruth
{
    /// <summary>As far as the times of a trace go, s.</summary>
    private const double Most = 1e9;

    /// <summary>When the waters were first even, s.</summary>
    public double? MatchSeconds { get; init; }

    /// <summary>When the water first reached the brim less the freeboard, s.</summary>
    public double? BrimSeconds { get; init; }

    /// <summary>When the water first reached the brim, s.</summary>
    public double? SpillSeconds { get; init; }

    /// <summary>The true brim less freeboard, L.</summary>
    public double? MarkLitres { get; init; }

    /// <summary>The true brim, L.</summary>
    public double? BrimLitres { get; init; }

    /// <summary>What went wrong.</summary>
    public IReadOnlyList<TruthEvent> Events { get; init; } = [];

    /// <summary>Whether a match came while there was still room for it.</summary>
    public bool MatchReachable => MatchSeconds is { } match && !(BrimSeconds <= match);

    /// <summary>Reads a description's truth; null when it has none.</summary>
    /// <exception cref="InvalidDataException">A number of it is none, or no moment of any trace: taken for "it did not happen" the night would be judged wrongly.</exception>
    public static TraceTruth? Read(JsonElement description) =>
        description.ValueKind == JsonValueKind.Object && description.TryGetProperty("truth", out var truth)
        && truth.ValueKind == JsonValueKind.Object && truth.EnumerateObject().Any()
            ? new TraceTruth
            {
                MatchSeconds = Number(truth, "t_match_s"),
                BrimSeconds = Number(truth, "t_brim_s"),
                SpillSeconds = Number(truth, "t_spill_s"),
                MarkLitres = Number(truth, "V_limit_L"),
                BrimLitres = Number(truth, "Vmax_L"),
                Events = truth.TryGetProperty("events", out var events) && events.ValueKind == JsonValueKind.Array
                    ? [.. events.EnumerateArray().Where(e => e.ValueKind == JsonValueKind.Object).Select(Event).OrderBy(e => e.Seconds)]
                    : [],
            }
            : null;

    private static TruthEvent Event(JsonElement e) =>
        new(Number(e, "t_s") ?? 0, Text(e, "kind") ?? "unnamed", Text(e, "probe"), Number(e, "factor"));

    private static double? Number(JsonElement e, string key) =>
        !e.TryGetProperty(key, out var value) || value.ValueKind == JsonValueKind.Null ? null
        : value.ValueKind == JsonValueKind.Number && Math.Abs(value.GetDouble()) <= Most ? value.GetDouble()
        : throw new InvalidDataException($"truth.{key}: {value.GetRawText()} is not a number from -{Most:0} to {Most:0}; leave it out, or null, for what did not happen");

    private static string? Text(JsonElement e, string key) =>
        e.TryGetProperty(key, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;
}
