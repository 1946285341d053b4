using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
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
    /// <summary>An event that nobody fetched for a week is history; the log has it. Common practice, no source.</summary>
    public const uint EventExpirySeconds = 7 * 86_400;

    private const uint AnswerExpirySeconds = 60;
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

    /// <summary>One page of the events after a number, as they were told.</summary>
    /// <param name="topic">Where to.</param>
    /// <param name="correlation">What the asker knows its question by.</param>
    /// <param name="page">The events, in order; none is an answer too.</param>
    /// <param name="next">Since where to ask for what comes after.</param>
    /// <param name="more">Whether a further page follows by itself.</param>
    /// <param name="text">The page in words.</param>
    public MqttApplicationMessage Events(string topic, byte[]? correlation, IEnumerable<Entry> page, long next, bool more, string text)
    {
        var facts = Answered("events", new Answer(true, text));
        facts["events"] = new JsonArray([.. page.Select(CloudEvent)]);
        facts["next"] = next;
        facts["more"] = more;
        return Answer(topic, correlation, facts, AnswerExpirySeconds);
    }

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

    /// <summary>Whether the program is there: online, stopped, or offline as the broker says it for us; and in words, for the last sentence that is kept knows nothing of that.</summary>
    /// <param name="state">Which of the three.</param>
    /// <param name="boot">The boot.</param>
    /// <param name="standing">Offline although the program is there: this station completes no cycle any more.</param>
    public MqttApplicationMessage State(string state, string boot, bool standing = false)
    {
        var facts = AndSimulated(new JsonObject { ["state"] = state, ["station"] = station, ["boot"] = boot });
        var (text, did, act) = state switch
        {
            _ when standing => ("The program is there, but this station's cycles stand still: nobody watches the vessel.", "A valve whose pulses have stopped closes; whether they have is not known here.", "Go and look that no water runs, then start the program again."),
            "online" => ("The program is there.", null, null),
            "stopped" => ("The program was stopped. Nobody watches the vessel until it is started again.", "It closes its valve as it stops.", "Start it again, or look after the vessel yourself."),
            _ => ("The program is gone without a word, or its computer is, or the network.", "A valve whose pulses have stopped closes; whether they have is not known here.", "Go and look that no water runs, then start it again."),
        };
        facts["text"] = text;
        if (did is not null)
        {
            (facts["did"], facts["do"]) = (did, act);
        }

        return Message("state", Text(facts), Json, retain: true, null);
    }

    /// <summary>
    /// The alarm of a log that can not commit, past the log: what can not be written can not be read from there either. It has no sequence; the
    /// log's own entry takes its place as soon as there is one.
    /// </summary>
    public MqttApplicationMessage LogLost(bool calls)
    {
        var row = AlarmTable.Of(AlarmId.LogLost);
        return PastTheLog(new AlarmBody(row.Name, AlarmStanding.Unacknowledged, row.Priority, row.Title, row.Did, row.Act) { Calls = calls, Consequence = row.Consequence });
    }

    /// <summary>The sentence to it, in place of the last that the log held: that one told of an open valve, and of nothing to do. The log's own follows as soon as there is one.</summary>
    public MqttApplicationMessage SayLogLost()
    {
        var row = AlarmTable.Of(AlarmId.LogLost);
        return Message("say", Text(AndSimulated(new JsonObject
        {
            ["station"] = station, ["word"] = Words.Of(StateWord.Act), ["text"] = $"{row.Title}. Until it is, nothing more is told here of how the run stands.", ["nextWordBySeconds"] = Recorder.NextWordSeconds(Phase.Tripped),
            ["did"] = row.Did, ["do"] = row.Act,
        })), Json, retain: true, null);
    }

    /// <summary>An alarm that this log knows nothing of, as it then stands: what was told past an earlier log, or by one that was set aside, does not stand for ever.</summary>
    public MqttApplicationMessage NotStanding(Alarm row)
    {
        var title = row.Id == AlarmId.LogLost ? "The log is written" : row.Title;
        return PastTheLog(new AlarmBody(row.Name, AlarmStanding.Normal, row.Priority, title, "This alarm was cleared: the log knows nothing of it.", "Nothing.") { Consequence = row.Consequence });
    }

    private MqttApplicationMessage PastTheLog(AlarmBody body)
    {
        var facts = AndSimulated(new JsonObject { ["station"] = station });
        foreach (var (key, value) in JsonNode.Parse(LogJson.Write(body))!.AsObject())
        {
            facts.TryAdd(key, value?.DeepClone());
        }

        facts["howSoon"] = HowSoon(body);
        return Message(TopicOf(body.Name), Text(facts), Json, retain: true, null);
    }

    /// <summary>The answer to somebody who asked, with the challenge if that is what was asked for.</summary>
    public MqttApplicationMessage Answer(string topic, byte[]? correlation, string verb, Answer answer, Challenge? challenge)
    {
        var facts = Answered(verb, answer);
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

        return Answer(topic, correlation, facts, challenge is null ? AnswerExpirySeconds : Challenge.ValidSeconds);
    }

    private MqttApplicationMessage Answer(string topic, byte[]? correlation, JsonObject facts, uint expirySeconds)
    {
        var message = Message(topic[Root.Length..], Text(AndSimulated(facts)), Json, retain: false, null);
        message.CorrelationData = correlation;
        message.MessageExpiryInterval = expirySeconds;
        return message;
    }

    private JsonObject Answered(string verb, Answer answer) =>
        new() { ["station"] = station, ["verb"] = verb, ["obeyed"] = answer.Obeyed, ["answer"] = answer.Text };

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
    private static string HowSoon(AlarmBody body) => ActBy.Words((Priority)(byte)body.Priority, body.State);

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
