using System.Text.Json;
using System.Text.Json.Serialization;
using Evenwater.Core;
using Evenwater.Running;

namespace Evenwater.Control;

/// <summary>One line asked over the daemon's own socket.</summary>
/// <param name="Verb">begin, close, reset, finish, acknowledge, proof, phase or status.</param>
/// <param name="Station">Which; may be left out when there is only one.</param>
/// <param name="Known">With begin: what the keeper has measured.</param>
/// <param name="Drawn">With drawn: how much was taken out.</param>
/// <param name="Note">With finish and proof: what the keeper saw, kept in the log.</param>
internal sealed record ControlAsk(string Verb, string? Station = null, StartKnown? Known = null, string? Note = null, Drawn? Drawn = null);

/// <summary>One line answered.</summary>
internal sealed record ControlAnswer(bool Ok, string Text);

internal static class ControlJson
{
    /// <summary>Longest line that is read, bytes.</summary>
    public const int MostBytes = 16 * 1024;

    public static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
    };
}
