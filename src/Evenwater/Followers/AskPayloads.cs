using System.Text.Json;

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
            return (null, $"payload{e.Path?.TrimStart('$')}: not as it must be; allowed: {example} and no other keys");
        }
    }
}
