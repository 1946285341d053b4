using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;
using Evenwater.Core.Alarms;
using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Running;
using MQTTnet;
using MQTTnet.Protocol;

namespace Evenwater.Followers;

/// <summary>What one station says over MQTT: entries in, messages out.</summary>
/// <param name="station">Its name, the third part of every topic.</param>
/// <param name="log">The log's UUID, the source of its events.</param>
internal sealed class MqttMessages(string station, string log)
{
    private const string Json = "application/json";
    private static readonly JsonSerializerOptions Relaxed = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>What all topics begin with.</summary>
    public string Root { get; } = $"evenwater/v1/{station}/";

    private bool Simulated { get; } = station.StartsWith("sim-", StringComparison.Ordinal);

    /// <summary>The messages of an entry, in the order to send them.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="configured">The station as it was configured then.</param>
    /// <param name="superseded">Whether the broker already keeps a newer one of its kind; then this one is passed on, but not kept.</param>
    public IEnumerable<MqttApplicationMessage> Of(Entry entry, Station configured, bool superseded)
    {
        if (CurrentTopic(entry) is { } topic)
        {
            yield return Message(topic, Text(Facts(entry)), Json, retain: !superseded, entry.Id);
        }

        if (entry.Kind == EntryKind.Cycle)
        {
            yield return Message("readings", SenMl.Of(entry, configured, Root), SenMl.MediaType, retain: false, entry.Id);
        }
        else if (entry.Kind is not (EntryKind.Say or EntryKind.Forecast))
        {
            yield return Message("event", CloudEvent(entry), "application/cloudevents+json; charset=utf-8", retain: false, entry.Id);
        }
    }

    /// <summary>The topic that keeps the latest of its kind; null for what is only passed on.</summary>
    public static string? CurrentTopic(Entry entry) => entry.Kind switch
    {
        EntryKind.Say => "say",
        EntryKind.Forecast => "forecast",
        EntryKind.Alarm => $"alarm/{LogJson.Read<AlarmBody>(entry.Body!).Name}",
        _ => null,
    };

    /// <summary>Whether the program is there: online, stopped, or offline as the broker says it for us.</summary>
    public MqttApplicationMessage State(string state, string boot) => Message(
        "state",
        Text(AndSimulated(new JsonObject { ["state"] = state, ["station"] = station, ["boot"] = boot })),
        Json,
        retain: true,
        null);

    /// <summary>
    /// The alarm of a log that can not commit, past the log: what can not be written can not be read from there either. It has no sequence; the
    /// log's own entry takes its place as soon as there is one.
    /// </summary>
    public MqttApplicationMessage LogLost(bool calls)
    {
        var row = AlarmTable.Of(AlarmId.LogLost);
        var body = new AlarmBody(row.Name, AlarmStanding.Unacknowledged, (AlarmPriority)(byte)row.Priority, row.Title, row.Did, row.Act)
        {
            Calls = calls,
            Consequence = row.Consequence,
        };
        var facts = AndSimulated(new JsonObject { ["station"] = station });
        foreach (var (key, value) in JsonNode.Parse(LogJson.Write(body))!.AsObject())
        {
            facts.TryAdd(key, value?.DeepClone());
        }

        return Message($"alarm/{row.Name}", Text(facts), Json, retain: true, null);
    }

    /// <summary>The answer to somebody who asked, with the challenge if that is what was asked for.</summary>
    public MqttApplicationMessage Answer(string topic, byte[]? correlation, string verb, Answer answer, Challenge? challenge)
    {
        var facts = new JsonObject { ["station"] = station, ["verb"] = verb, ["obeyed"] = answer.Obeyed, ["answer"] = answer.Text };
        if (challenge is not null)
        {
            facts["challenge"] = new JsonObject
            {
                ["verb"] = challenge.Verb,
                ["millilitres"] = challenge.Budget.Millilitres,
                ["seconds"] = challenge.Budget.Seconds,
                ["nonce"] = challenge.Nonce,
                ["validSeconds"] = Challenge.ValidSeconds,
            };
        }

        var message = Message(topic[Root.Length..], Text(AndSimulated(facts)), Json, retain: false, null);
        message.CorrelationData = correlation;
        message.MessageExpiryInterval = challenge is null ? 60 : Challenge.ValidSeconds;
        return message;
    }

    private JsonObject AndSimulated(JsonObject facts)
    {
        if (Simulated)
        {
            facts["simulated"] = true;
        }

        return facts;
    }

    /// <summary>The entry's own facts, and its body's beside them.</summary>
    private JsonObject Facts(Entry entry)
    {
        var facts = AndSimulated(new JsonObject { ["station"] = station, ["sequence"] = entry.Id });
        if (entry.Wall is { } wall)
        {
            facts["at"] = Rfc3339(wall);
            if (entry.Kind == EntryKind.Say)
            {
                facts["nextWordBy"] = Rfc3339(wall.AddSeconds(LogJson.Read<SayBody>(entry.Body!).NextWordBySeconds));
            }
        }

        facts["monoSeconds"] = entry.At.Seconds;
        facts["clock"] = JsonNamingPolicy.CamelCase.ConvertName(entry.ClockQuality.ToString());
        if (entry.RunId is { } run)
        {
            facts["run"] = run;
        }

        foreach (var (key, value) in JsonNode.Parse(entry.Body ?? "{}")!.AsObject())
        {
            facts.TryAdd(key, value?.DeepClone());
        }

        return facts;
    }

    /// <summary>CloudEvents 1.0, structured JSON. No domain is ours, so the type has no reverse-DNS prefix (a SHOULD).</summary>
    private byte[] CloudEvent(Entry entry)
    {
        var number = $"{entry.Id:D12}";
        var cloud = new JsonObject
        {
            ["specversion"] = "1.0",
            ["id"] = number,
            ["source"] = $"urn:uuid:{log}",
            ["type"] = $"evenwater.{JsonNamingPolicy.CamelCase.ConvertName(entry.Kind.ToString())}.v1",
            ["subject"] = station,
            ["datacontenttype"] = Json,
            ["sequence"] = number,
            ["data"] = Facts(entry),
        };
        if (entry.Wall is { } wall)
        {
            cloud["time"] = Rfc3339(wall);
        }

        return Text(cloud);
    }

    private MqttApplicationMessage Message(string topic, byte[] payload, string contentType, bool retain, long? sequence)
    {
        var builder = new MqttApplicationMessageBuilder()
            .WithTopic(Root + topic)
            .WithPayload(payload)
            .WithContentType(contentType)
            .WithPayloadFormatIndicator(MqttPayloadFormatIndicator.CharacterData)
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
            .WithRetainFlag(retain);
        if (sequence is { } number)
        {
            builder.WithUserProperty("sequence", System.Text.Encoding.UTF8.GetBytes($"{number}").AsMemory());
        }

        if (Simulated)
        {
            builder.WithUserProperty("simulated", "true"u8.ToArray().AsMemory());
        }

        return builder.Build();
    }

    private static byte[] Text(JsonObject json) => JsonSerializer.SerializeToUtf8Bytes(json, Relaxed);

    private static string Rfc3339(DateTimeOffset time) => $"{time.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss.FFF'Z'}";
}
