using System.Text.Json.Nodes;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Core.Telling;
using Evenwater.Log;
using Evenwater.Running;
using MQTTnet;

namespace Evenwater.Followers;

/// <content>What is said that no entry of the log says: whether the program is there, that the log can not be written, and that an alarm does not stand.</content>
internal sealed partial class MqttMessages
{
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
}
