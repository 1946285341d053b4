using System.Text.Json;
using System.Text.Json.Nodes;
using Evenwater.Core.Alarms;
using Evenwater.Core.Stations;
using Evenwater.Followers;
using Evenwater.Log;
using MQTTnet;
using MQTTnet.Protocol;

namespace Evenwater.Watch;

/// <summary>The alarm that a watcher tells for a daemon that is not heard. It is no row of the table: the daemon can not tell of its own silence.</summary>
internal static class SilentAlarm
{
    public const string Name = "silent";

    /// <summary>By when to look, min: as for other alarms of this priority. Common practice, no source.</summary>
    private const int ActWithinMinutes = 15;

    /// <summary>The retained message that raises it, or clears it.</summary>
    /// <param name="station">The station that is silent, or is heard again.</param>
    /// <param name="raise">Which of the two.</param>
    /// <param name="limit">How long it was silent at least.</param>
    /// <param name="now">When, by this computer's clock.</param>
    public static MqttApplicationMessage Message(string station, bool raise, TimeSpan limit, DateTimeOffset now)
    {
        var standing = raise ? AlarmStanding.Unacknowledged : AlarmStanding.Normal;
        var body = new AlarmBody(
            Name, standing, Priority.High,
            raise ? $"Nothing was heard of the daemon for {limit.TotalMinutes:0.#} min" : "The daemon is heard again",
            raise ? "Told from another computer, which closes nothing. A valve whose pulses have stopped closes; whether they have is not known here." : "This alarm was cleared.",
            raise ? "Look at the vessel. When water runs and nobody watches, pull the valve's plug. Then see whether the daemon's computer has power and network." : "Nothing.",
            raise ? now.AddMinutes(ActWithinMinutes) : null)
        {
            Calls = raise,
            Consequence = "Nobody may be watching the drip, and no other alarm can reach you.",
        };
        var facts = new JsonObject { ["station"] = station, ["at"] = MqttMessages.Rfc3339(now) };
        var simulated = StationRules.IsSimulated(station);
        if (simulated)
        {
            facts["simulated"] = true;
        }

        foreach (var (key, value) in JsonNode.Parse(LogJson.Write(body))!.AsObject())
        {
            facts[key] = value?.DeepClone();
        }

        facts["howSoon"] = ActBy.Words(Priority.High, standing);
        var message = new MqttApplicationMessageBuilder()
            .WithTopic($"evenwater/v1/{station}/alarm/{Name}")
            .WithPayload(JsonSerializer.SerializeToUtf8Bytes(facts, MqttMessages.Relaxed))
            .WithContentType("application/json")
            .WithPayloadFormatIndicator(MqttPayloadFormatIndicator.CharacterData)
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
            .WithRetainFlag();
        return (simulated ? message.WithUserProperty("simulated", "true"u8.ToArray().AsMemory()) : message).Build();
    }
}
