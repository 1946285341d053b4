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
    /// <summary>The water in the vessel as it was measured, L; null: as the station file says.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? StartVolumeLitres { get; init; }

    /// <summary>Whether that was judged by eye.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public bool? ByEye { get; init; }

    /// <summary>The tank as it was measured by hand, µS/cm at 25 °C; null where a probe hangs in it.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingNull)]
    public double? TankMicrosiemensPerCm { get; init; }

    /// <summary>How long it is good, s.</summary>
    public uint ValidSeconds { get; } = Challenge.ValidSeconds;

    /// <summary>What confirming it will do.</summary>
    public string Sentence => $"Confirming this will {OpeningDesk.Shown(Station, Verb, Millilitres, Seconds)}.";

    internal static Question Of(Challenge challenge, string mac, bool attended, StartMeasured measured) =>
        new(challenge.Station, challenge.Verb, challenge.Nonce, challenge.Budget.Millilitres, challenge.Budget.Seconds, mac, attended)
        {
            StartVolumeLitres = measured.StartVolumeLitres, ByEye = measured.ByEye ? true : null, TankMicrosiemensPerCm = measured.TankMicrosiemensPerCm,
        };
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase)]
[JsonSerializable(typeof(Question))]
internal sealed partial class QuestionJson : JsonSerializerContext;
