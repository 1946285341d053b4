using System.Buffers;
using Evenwater.Core.Keeping;
using Evenwater.Log;
using Evenwater.Running;
using MQTTnet;

namespace Evenwater.Followers;

/// <summary>
/// Judges what arrives under ask/. Closing needs no permission, and no payload can spoil it; everything else must be in order (a note of the book opens nothing and needs no signature), opening and
/// resetting must be signed, and a flood of it is not heard. What is kept by the broker and handed out again at each connection is refused, whatever it is.
/// </summary>
internal sealed class AskDesk(string station, ChallengeBook challenges, AskLimit limit)
{
    /// <summary>The largest packet that we accept at all, bytes; the broker drops larger ones.</summary>
    public const uint MaxPacketBytes = 65536;

    private const string Nameless = "mqtt";
    private const int MaxAnswerTopicLength = 200;

    private const string Flood = "too many asks; further ones are dropped unheard until none has come for a while. Closing is always obeyed";
    private const string ChallengeExample = """{"verb":"open"} or {"verb":"reset"}, with "by" if you like""";
    private const string EventsExample = """{"since":0} with the last sequence that you have, with "by" if you like""";
    private const string NoteExample = """{"kind":"water-change","litres":20}, with "text", "at", "amount" and "unit", "corrects", "withdrawn", "by" if you like""";
    private const string SignedExample = """{"nonce":"...","millilitres":0,"seconds":0,"mac":"..."} with the challenge's numbers, with "by" if you like""";

    /// <summary>Verbs that the daemon takes over MQTT.</summary>
    private static readonly string[] Verbs = ["close", "events", "note", "challenge", .. ChallengeBook.Verbs];

    private readonly string _root = MqttMessages.RootOf(station);

    /// <summary>What to subscribe to.</summary>
    public string Filter => _root + "ask/+";

    /// <summary>Judges one message. What is wrong with a close is told, but closes all the same.</summary>
    public Judged Judge(MqttApplicationMessage message)
    {
        var verb = message.Topic[(message.Topic.LastIndexOf('/') + 1)..];
        Judged? judged = message.Retain ? Refused($"retained; allowed: not retained. Clear it by an empty retained message{(verb == "close" ? ", which closes once more" : "")}, and ask again without")
            : verb == "close" ? Close(message)
            : null;
        if (judged is { Problem: null } fine)
        {
            return fine;
        }

        // Everything but a faultless close takes a place, so that what is refused or told can not fill the log.
        var heard = limit.Hears(out var over);
        var first = !heard && limit.Dropped == 1;
        var events = new List<EventBody>();
        if (over > 0)
        {
            events.Add(new("ask-flood", $"The flood of asks is over: {over} were dropped unheard."));
        }

        if (heard)
        {
            var answer = judged ?? Other(verb, message);
            var told = answer.Problem is { } problem ? $"ask/{AskBy.Shown(verb)}: {problem}" : null;
            return answer with { Problem = told, Events = told is null ? events : [.. events, new("ask-refused", told)] };
        }

        if (first)
        {
            events.Add(new("ask-flood", Flood));
        }

        return judged is { Ask: not null } close ? close with { Problem = null, Events = events } : new Judged(null, Flood) { Unheard = !first, Events = events };
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
            : (null, $"response topic: {AskBy.Shown(message.ResponseTopic)}; allowed: {prefix}NAME, no wildcards, up to {MaxAnswerTopicLength} characters");
    }

    private static Judged Refused(string problem) => new(null, problem);

    private Judged Close(MqttApplicationMessage message)
    {
        var (by, problem) = AskBy.Read(message.Payload);
        return new(new Ask(station, "close", by ?? Nameless), problem ?? AnswerTopic(message).Problem);
    }

    private Judged Other(string verb, MqttApplicationMessage message)
    {
        if (message.Payload.Length > AskBy.MaxPayloadBytes)
        {
            return Refused($"payload: {message.Payload.Length} bytes; allowed: up to {AskBy.MaxPayloadBytes}");
        }

        var (topic, topicProblem) = AnswerTopic(message);
        if (topicProblem is not null)
        {
            return Refused(topicProblem);
        }

        var payload = message.Payload.ToArray();
        return verb == "challenge" ? Challenge(payload, topic)
            : verb == "events" ? Events(payload, topic)
            : verb == "note" ? Note(payload)
            : ChallengeBook.Verbs.Contains(verb) ? Signed(verb, payload)
            : Refused($"unknown verb; allowed: {string.Join(", ", Verbs)}");
    }

    private Judged Challenge(byte[] payload, string? answerTopic)
    {
        if (AskPayloads.Read<ChallengeAsk>(payload, ChallengeExample) is var (asked, unread) && asked is null)
        {
            return Refused(unread!);
        }

        if (!ChallengeBook.Verbs.Contains(asked.Verb))
        {
            return Refused($"payload.verb: {AskBy.Shown(asked.Verb)}; allowed: {string.Join(", ", ChallengeBook.Verbs)}");
        }

        if (answerTopic is null)
        {
            return Placeless();
        }

        var (challenge, problem) = challenges.Give(asked.Verb);
        return new Judged(null, problem) { Challenge = challenge };
    }

    private Judged Events(byte[] payload, string? answerTopic)
    {
        var (asked, unread) = AskPayloads.Read<EventsAsk>(payload, EventsExample);
        return asked is null ? Refused(unread!)
            : asked.Since < 0 ? Refused($"payload.since: {asked.Since}; allowed: 0 or more, the last sequence that you have")
            : answerTopic is null ? Placeless()
            : new Judged(null, null) { Since = asked.Since };
    }

    private Judged Note(byte[] payload)
    {
        var (asked, unread) = AskPayloads.Read<NoteAsk>(payload, NoteExample);
        return asked is null ? Refused(unread!)
            : NoteKinds.Named(asked.Kind) == NoteKind.None ? Refused($"payload.kind: {AskBy.Shown(asked.Kind)}; allowed: {string.Join(", ", NoteKinds.All.Select(NoteKinds.Name))}")
            : new(new Ask(station, "note", NameOf(asked.By)) { Note = asked.As(NameOf(asked.By)) }, null);
    }

    private Judged Placeless() => Refused($"no place to answer; allowed: an MQTT 5 response topic, {_root}answer/NAME");

    private Judged Signed(string verb, byte[] payload)
    {
        var (signed, unread) = AskPayloads.Read<SignedAsk>(payload, SignedExample);
        return signed is null ? Refused(unread!)
            : challenges.Take(verb, signed) is { } problem ? Refused(problem)
            : new(new Ask(station, verb, NameOf(signed.By), verb == "open" ? new OpeningBudget(signed.Millilitres, signed.Seconds) : null), null);
    }

    private static string NameOf(string? by) => string.IsNullOrEmpty(by) ? Nameless : AskBy.Shown(by);
}
