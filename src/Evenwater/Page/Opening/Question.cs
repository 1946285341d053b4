using System.Text.Json.Serialization;
using Evenwater.Followers;

namespace Evenwater.Page.Opening;

/// <summary>A challenge as a person or a program is given it.</summary>
/// <param name="Station">The station.</param>
/// <param name="Verb">open or reset.</param>
/// <param name="Nonce">Said once.</param>
/// <param name="Millilitres">The most water that would be permitted, mL.</param>
/// <param name="Seconds">The longest time that would be permitted, s.</param>
/// <param name="Mac">To be sent back with the numbers and the nonce.</param>
/// <param name="Attended">Whether somebody said that they stay beside it.</param>
public sealed record Question(string Station, string Verb, string Nonce, long Millilitres, long Seconds, string Mac, bool Attended)
{
    /// <summary>How long it is good, s.</summary>
    public uint ValidSeconds { get; } = Challenge.ValidSeconds;

    /// <summary>What confirming it will do.</summary>
    public string Sentence => $"Confirming this will {OpeningDesk.Shown(Station, Verb, Millilitres, Seconds)}.";

    internal static Question Of(Challenge challenge, string mac, bool attended) =>
        new(challenge.Station, challenge.Verb, challenge.Nonce, challenge.Budget.Millilitres, challenge.Budget.Seconds, mac, attended);
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase)]
[JsonSerializable(typeof(Question))]
internal sealed partial class QuestionJson : JsonSerializerContext;
