using System.Buffers;
using System.Text.Json;
using MQTTnet;

namespace Evenwater.Followers;

/// <summary>Somebody asks something of a station.</summary>
/// <param name="Station">Of which station.</param>
/// <param name="Verb">What.</param>
/// <param name="By">Who, as far as they say.</param>
internal sealed record Ask(string Station, string Verb, string By);

/// <summary>
/// Judges what arrives under ask/. Closing needs no permission, and no payload can spoil it; everything else must be in order.
/// What is kept by the broker and handed out again at each connection is refused, whatever it is.
/// </summary>
internal sealed class AskDesk(string station)
{
    /// <summary>The largest packet that we accept at all, bytes; the broker drops larger ones.</summary>
    public const uint MaxPacketBytes = 65536;

    /// <summary>The largest payload of a command, bytes.</summary>
    public const int MaxPayloadBytes = 4096;

    private const int MaxNameLength = 64;
    private const int MaxAnswerTopicLength = 200;

    /// <summary>Verbs that the daemon takes over MQTT.</summary>
    private static readonly string[] Verbs = ["close"];

    private readonly string _root = $"evenwater/v1/{station}/";

    /// <summary>What to subscribe to.</summary>
    public string Filter => _root + "ask/+";

    /// <summary>The ask, or why it is refused; and what was wrong with an ask that is obeyed all the same.</summary>
    public (Ask? Ask, string? Problem) Judge(MqttApplicationMessage message)
    {
        var verb = message.Topic[(message.Topic.LastIndexOf('/') + 1)..];
        var place = $"ask/{Shown(verb)}";
        if (message.Retain)
        {
            return (null, $"{place}: retained; allowed: not retained. Clear it by an empty retained message, and ask again without");
        }

        if (!Verbs.Contains(verb))
        {
            return (null, $"{place}: unknown verb; allowed: {string.Join(", ", Verbs)}");
        }

        var (by, problem) = ReadBy(message.Payload);
        problem = problem is null ? null : $"{place}: {problem}";
        return problem is null || verb == "close"
            ? (new Ask(station, verb, by ?? "mqtt"), problem)
            : (null, problem);
    }

    /// <summary>Where to answer; null when the asker names no place or one that is not ours to write to, which is then the problem.</summary>
    public (string? Topic, string? Problem) AnswerTopic(MqttApplicationMessage message)
    {
        if (string.IsNullOrEmpty(message.ResponseTopic))
        {
            return (null, null);
        }

        var prefix = _root + "answer/";
        return message.ResponseTopic.StartsWith(prefix, StringComparison.Ordinal)
            && message.ResponseTopic.Length > prefix.Length
            && message.ResponseTopic.Length <= MaxAnswerTopicLength
            && message.ResponseTopic.AsSpan().IndexOfAny("+#\0") < 0
            ? (message.ResponseTopic, null)
            : (null, $"response topic: {Shown(message.ResponseTopic)}; allowed: {prefix}NAME, no wildcards, up to {MaxAnswerTopicLength} characters");
    }

    private static (string? By, string? Problem) ReadBy(in ReadOnlySequence<byte> payload)
    {
        if (payload.Length > MaxPayloadBytes)
        {
            return (null, $"payload: {payload.Length} bytes; allowed: 0 to {MaxPayloadBytes}");
        }

        if (payload.IsEmpty)
        {
            return (null, null);
        }

        try
        {
            using var json = JsonDocument.Parse(payload);
            if (json.RootElement.ValueKind != JsonValueKind.Object)
            {
                return (null, $"payload: {Kind(json.RootElement)}; allowed: empty or a JSON object");
            }

            if (!json.RootElement.TryGetProperty("by", out var by))
            {
                return (null, null);
            }

            return by.ValueKind == JsonValueKind.String && by.GetString() is { Length: > 0 and <= MaxNameLength } name
                ? (Shown(name), null)
                : (null, $"payload.by: {Kind(by)}; allowed: a string of 1 to {MaxNameLength} characters");
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException)
        {
            return (null, $"payload: not JSON ({e.Message}); allowed: empty or a JSON object");
        }
    }

    private static string Kind(JsonElement element) => element.ValueKind switch
    {
        JsonValueKind.String => $"a string of {element.GetString()!.Length} characters",
        _ => $"a JSON {JsonNamingPolicy.CamelCase.ConvertName(element.ValueKind.ToString())}",
    };

    /// <summary>Somebody else's text, short and without control characters, fit for a log line.</summary>
    private static string Shown(string text)
    {
        var clean = string.Concat(text.Where(c => !char.IsControl(c)));
        return clean.Length <= MaxNameLength ? clean : clean[..MaxNameLength] + "...";
    }
}
