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
internal sealed partial class MqttMessages(string station, string log)
{
    /// <summary>An event that nobody fetched for a week is history; the log has it. Common practice, no source.</summary>
    public const uint EventExpirySeconds = 7 * 86_400;

    private const string Json = "application/json";
    internal static readonly JsonSerializerOptions Relaxed = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>What all topics of a station begin with, and all names in SenML.</summary>
    public static string RootOf(string station) => $"evenwater/v1/{station}/";

    /// <summary>What all topics begin with.</summary>
    public string Root { get; } = RootOf(station);

    private bool Simulated { get; } = StationRules.IsSimulated(station);

    /// <summary>The messages of an entry, in the order to send them.</summary>
    /// <param name="entry">The entry.</param>
    /// <param name="configured">The station as it was configured then.</param>
    /// <param name="superseded">Whether the broker already keeps a newer one of its kind; then this one is passed on, but not kept. An alarm's is passed on as an event alone: it was called, or calls nobody any more.</param>
    public IEnumerable<MqttApplicationMessage> Of(Entry entry, Station configured, bool superseded)
    {
        if (EndsRun(entry))
        {
            if (!superseded)
            {
                yield return NoForecast(entry.Id);
            }
        }
        else if (CurrentTopic(entry) is { } topic && !(superseded && entry.Kind == EntryKind.Alarm))
        {
            yield return Message(topic, Text(Facts(entry)), Json, retain: !superseded, entry.Id);
        }

        if (entry.Kind == EntryKind.Cycle)
        {
            yield return Message("readings", SenMl.Of(entry, configured, Root), SenMl.MediaType, retain: false, entry.Id);
        }
        else if (IsEvent(entry))
        {
            var passing = Message("event", Text(CloudEvent(entry)), "application/cloudevents+json; charset=utf-8", retain: false, entry.Id);
            passing.MessageExpiryInterval = EventExpirySeconds;
            yield return passing;
        }
    }

    /// <summary>Whether it is told as an event.</summary>
    public static bool IsEvent(Entry entry) => entry.Kind is not (EntryKind.Cycle or EntryKind.Say or EntryKind.Forecast);

    /// <summary>The topic that keeps the latest of its kind; null for what is only passed on.</summary>
    public static string? CurrentTopic(Entry entry) => entry.Kind switch
    {
        EntryKind.Say => "say",
        EntryKind.Forecast => "forecast",
        EntryKind.Alarm => TopicOf(LogJson.Read<AlarmBody>(entry.Body!).Name),
        _ => EndsRun(entry) ? "forecast" : null,
    };

    /// <summary>Whether a run ends by it: what was forecast for that run is nothing to expect any more.</summary>
    public static bool EndsRun(Entry entry) => entry.Kind == EntryKind.Run && LeftRuns.HasEnded(LogJson.Read<RunBody>(entry.Body!).Phase);

    /// <summary>There is no forecast: empty and retained, so that the broker keeps none (MQTT 5, 3.3.1.3).</summary>
    /// <param name="sequence">The entry that ends the run; null where the log has never had a forecast.</param>
    public MqttApplicationMessage NoForecast(long? sequence) => Message("forecast", [], null, retain: true, sequence);

    /// <summary>Of an alarm, by its name.</summary>
    public static string TopicOf(string alarm) => $"alarm/{alarm}";

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
                var say = LogJson.Read<SayBody>(entry.Body!);
                facts["nextWordBy"] = Rfc3339(wall.AddSeconds(say.NextWordBySeconds));
                if (say.WithinSeconds is { } within) facts["byWhen"] = Rfc3339(wall.AddSeconds(within));
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

        if (entry.Kind == EntryKind.Alarm)
        {
            facts["howSoon"] = HowSoon(LogJson.Read<AlarmBody>(entry.Body!));
        }

        return facts;
    }

    /// <summary>By when, in words: byWhen is missing while no clock has been set, and where there is no hurry.</summary>
    private static string HowSoon(AlarmBody body) => ActBy.Words(body.Priority, body.State);

    /// <summary>CloudEvents 1.0, structured JSON. No domain is ours, so the type has no reverse-DNS prefix (a SHOULD).</summary>
    private JsonObject CloudEvent(Entry entry)
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

        return cloud;
    }

    private MqttApplicationMessage Message(string topic, byte[] payload, string? contentType, bool retain, long? sequence)
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

    internal static string Rfc3339(DateTimeOffset time) => $"{time.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss.FFF'Z'}";
}
