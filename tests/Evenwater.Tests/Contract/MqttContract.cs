using System.Buffers;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Evenwater.Tests.Documents;
using Json.Schema;
using MQTTnet;

namespace Evenwater.Tests.Contract;

/// <summary>config/asyncapi.json, and whether a message keeps to it: address, payload, user properties, content type, QoS, retain and expiry.</summary>
internal sealed class MqttContract
{
    private readonly JsonObject _file;
    private readonly Dictionary<string, JsonSchema> _schemas = [];
    private readonly Dictionary<string, long> _kept = [];

    public MqttContract() : this(Repository.Text("config", "asyncapi.json"))
    {
    }

    public MqttContract(string text) => _file = JsonNode.Parse(text)!.AsObject();

    public JsonObject Channels => _file["channels"]!.AsObject();

    public JsonObject Operations => _file["operations"]!.AsObject();

    /// <summary>The messages that the file knows and that were not met yet, CHANNEL/MESSAGE.</summary>
    public IEnumerable<string> NotMet => Channels.SelectMany(c => c.Value!["messages"]!.AsObject().Select(m => $"{c.Key}/{m.Key}")).Except(_met);

    private readonly HashSet<string> _met = [];

    /// <summary>What of a message is not as the file says; null when all is.</summary>
    public string? Problem(MqttApplicationMessage message)
    {
        var channels = Channels.Where(c => Address(c.Value!).IsMatch(message.Topic)).Select(c => c.Key).ToList();
        if (channels is not [var channel])
        {
            return $"{message.Topic}: channels [{string.Join(", ", channels)}], not one";
        }

        var found = Channels[channel]!["messages"]!.AsObject().Select(m => (m.Key, Wrong: OfMessage(m.Key, message))).ToList();
        if (found.Count(m => m.Wrong is null) != 1)
        {
            return $"{message.Topic} {message.ConvertPayloadToString()}: is not one of {string.Join("; ", found.Select(m => $"{m.Key} ({m.Wrong ?? "fits"})"))}";
        }

        _met.Add($"{channel}/{found.Single(m => m.Wrong is null).Key}");
        return OfOperation(channel, message) is { } wrong ? $"{message.Topic}: {wrong}" : null;
    }

    /// <summary>The schema of a name, of draft 7, which AsyncAPI's own is a superset of.</summary>
    public JsonSchema Schema(JsonNode of)
    {
        var key = of.ToJsonString();
        if (!_schemas.TryGetValue(key, out var schema))
        {
            var whole = new JsonObject
            {
                ["$schema"] = "http://json-schema.org/draft-07/schema#",
                ["allOf"] = new JsonArray(of.DeepClone()),
                ["definitions"] = _file["components"]!["schemas"]!.DeepClone(),
            };
            schema = JsonSchema.FromText(whole.ToJsonString().Replace("#/components/schemas/", "#/definitions/", StringComparison.Ordinal));
            _schemas.Add(key, schema);
        }

        return schema;
    }

    private static Regex Address(JsonNode channel) => new(
        "^" + Regex.Replace(Regex.Escape((string)channel["address"]!).Replace(@"\{", "{", StringComparison.Ordinal), "{([a-z]+)}", m =>
            channel["parameters"]?[m.Groups[1].Value] is not { } parameter ? "(no such parameter)"
            : parameter["enum"]?.AsArray() is { } values ? $"({string.Join('|', values.Select(v => Regex.Escape((string)v!)))})"
            : "[^/]+") + "$",
        RegexOptions.CultureInvariant);

    private string? OfMessage(string name, MqttApplicationMessage message)
    {
        var told = _file["components"]!["messages"]![name]!;
        if (told["contentType"] is { } type && message.ContentType != (string)type!)
        {
            return $"content type {message.ContentType}";
        }

        if (told["bindings"]!["mqtt"]!["payloadFormatIndicator"] is { } format && (int)message.PayloadFormatIndicator != (int)format)
        {
            return $"payload format {message.PayloadFormatIndicator}";
        }

        if (told["bindings"]!["mqtt"]!["responseTopic"] is { } place && message.ResponseTopic is { Length: > 0 } topic && Wrong(place, JsonValue.Create(topic)) is { } misplaced)
        {
            return $"response topic: {misplaced}";
        }

        if (told["headers"] is { } headers)
        {
            var properties = new JsonObject((message.UserProperties ?? []).Select(p => KeyValuePair.Create(p.Name, (JsonNode?)Encoding.UTF8.GetString(p.ValueBuffer.Span))));
            if (Wrong(headers, properties) is { } problem)
            {
                return $"user properties {properties.ToJsonString()}: {problem}";
            }
        }

        return Wrong(told["payload"]!, message.Payload.IsEmpty ? new JsonObject() : JsonNode.Parse(message.Payload.ToArray()));
    }

    private string? OfOperation(string channel, MqttApplicationMessage message)
    {
        var operations = Operations.Where(o => (string)o.Value!["channel"]!["$ref"]! == $"#/channels/{channel}").ToList();
        if (operations is not [{ Value: { } operation }])
        {
            return $"{operations.Count} operations, not one";
        }

        var mqtt = operation["bindings"]!["mqtt"]!;
        var (sequence, retain) = (Servers.Listener.Sequence(message), (bool)mqtt["retain"]!);
        if (message.Retain)
        {
            _kept[message.Topic] = sequence ?? 0;
        }

        // What is told late, when a newer one is kept already, is passed on alone.
        var late = retain && !message.Retain && _kept.GetValueOrDefault(message.Topic) > sequence;
        var expiry = mqtt["messageExpiryInterval"];
        return (int)message.QualityOfServiceLevel != (int)mqtt["qos"]! ? $"QoS {message.QualityOfServiceLevel}"
            : message.Retain != retain && !late ? $"retain is {message.Retain}"
            : expiry is null ? message.MessageExpiryInterval == 0 ? null : $"expires after {message.MessageExpiryInterval} s"
            : Wrong(expiry is JsonValue ? new JsonObject { ["const"] = expiry.DeepClone() } : expiry, JsonValue.Create(message.MessageExpiryInterval)) is { } bad ? $"expires after {message.MessageExpiryInterval} s: {bad}"
            : null;
    }

    private string? Wrong(JsonNode schema, JsonNode? instance)
    {
        var result = Schema(schema).Evaluate(JsonSerializer.SerializeToElement(instance), new EvaluationOptions { OutputFormat = OutputFormat.List, RequireFormatValidation = true });
        return result.IsValid ? null
            : string.Join(", ", (result.Details ?? []).Where(d => d.Errors is { Count: > 0 }).Select(d => $"{d.InstanceLocation} {string.Join(' ', d.Errors!.Values)}"));
    }
}
