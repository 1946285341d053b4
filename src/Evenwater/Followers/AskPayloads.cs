using System.Text.Json;
using Evenwater.Core.Keeping;

namespace Evenwater.Followers;

/// <summary>Payload of ask/challenge.</summary>
/// <param name="Verb">For what.</param>
/// <param name="By">Who, as far as they say.</param>
internal sealed record ChallengeAsk(string Verb, string? By = null);

/// <summary>Payload of ask/open and ask/reset: what the challenge said, and its signature.</summary>
internal sealed record SignedAsk(string Nonce, long Millilitres, long Seconds, string Mac, string? By = null);

/// <summary>Payload of ask/events.</summary>
/// <param name="Since">The last number that the asker has; 0 for none.</param>
/// <param name="By">Who, as far as they say.</param>
internal sealed record EventsAsk(long Since, string? By = null);

/// <summary>Payload of ask/note: a note of the keeper's book, as far as a telephone writes one.</summary>
/// <param name="Kind">What it is about, by its name.</param>
/// <param name="Text">In the keeper's words.</param>
/// <param name="At">When it happened, RFC 3339; now if not said.</param>
/// <param name="Litres">How much water.</param>
/// <param name="Amount">How much, in <paramref name="Unit"/>.</param>
/// <param name="Unit">The amount's unit.</param>
/// <param name="Corrects">The note that it takes the place of.</param>
/// <param name="Withdrawn">Whether it only takes that one back.</param>
/// <param name="By">Who, as far as they say.</param>
internal sealed record NoteAsk(
    string Kind, string? Text = null, DateTimeOffset? At = null, double? Litres = null, double? Amount = null, string? Unit = null, string? Corrects = null,
    bool Withdrawn = false, string? By = null)
{
    /// <summary>The note, from somebody of that name.</summary>
    public Note As(string by) => new()
    {
        Kind = NoteKinds.Named(Kind), Text = Text ?? "", At = At, Litres = Litres, Amount = Amount, Unit = Unit, Corrects = Corrects, Withdrawn = Withdrawn, By = by,
    };
}

/// <summary>Reads what must be in order to the last key: nothing in it is guessed or passed over.</summary>
internal static class AskPayloads
{
    private static readonly JsonSerializerOptions Strict = new(JsonSerializerDefaults.General)
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        UnmappedMemberHandling = System.Text.Json.Serialization.JsonUnmappedMemberHandling.Disallow,
        AllowDuplicateProperties = false,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
        MaxDepth = 2,
    };

    /// <summary>The payload, or what is wrong with it and what belongs there.</summary>
    public static (T? Payload, string? Problem) Read<T>(ReadOnlySpan<byte> payload, string example)
        where T : class
    {
        try
        {
            return JsonSerializer.Deserialize<T>(payload, Strict) is { } read ? (read, null) : (null, $"payload: null; allowed: {example}");
        }
        catch (JsonException e)
        {
            return (null, $"payload{e.Path?.TrimStart('$')}: not as it must be; allowed: {example}, and no other keys");
        }
    }
}
