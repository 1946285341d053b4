using System.Text.Json.Nodes;
using Evenwater.Log;
using Evenwater.Running;
using MQTTnet;

namespace Evenwater.Followers;

/// <content>Answers to who asks.</content>
internal sealed partial class MqttMessages
{
    private const uint AnswerExpirySeconds = 60;

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
}
