using Evenwater.Core.Keeping;
using Evenwater.Followers;
using MQTTnet;

namespace Evenwater.Tests.Followers;

public sealed class AskDeskTests
{
    private readonly AskDesk _desk = Desks.Of("sim-river");

    [Theory]
    [InlineData("", "mqtt", null)]
    [InlineData("{}", "mqtt", null)]
    [InlineData("""{"by":"kitchen phone"}""", "kitchen phone", null)]
    [InlineData("close!", "mqtt", "ask/close: payload: not JSON")]
    [InlineData("[1]", "mqtt", "ask/close: payload: a JSON array; allowed: empty or a JSON object")]
    [InlineData("""{"by":7}""", "mqtt", "ask/close: payload.by: a JSON number; allowed: a string of 1 to 64 characters")]
    public void Close_is_obeyed_whatever_its_payload_is(string payload, string by, string? problem)
    {
        var (ask, found) = _desk.Judge(Message("close", payload));
        Assert.Equal(new Ask("sim-river", "close", by), ask);
        Assert.StartsWith(problem ?? "", found ?? "", StringComparison.Ordinal);
        Assert.Equal(problem is null, found is null);
    }

    [Fact]
    public void Close_is_obeyed_though_its_payload_is_too_large_which_is_said()
    {
        var (ask, problem) = _desk.Judge(Message("close", new string('x', 4097)));
        Assert.NotNull(ask);
        Assert.Equal("ask/close: payload: 4097 bytes; allowed: 0 to 4096", problem);
    }

    [Fact]
    public void What_the_broker_kept_is_refused_even_a_close()
    {
        var (ask, problem) = _desk.Judge(Message("close", "", retain: true));
        Assert.Null(ask);
        Assert.Equal("ask/close: retained; allowed: not retained. Clear it by an empty retained message, which closes once more, and ask again without", problem); // an empty one that passes by is a close
    }

    [Theory]
    [InlineData("begin")]
    [InlineData("CLOSE")]
    [InlineData("")]
    public void An_unknown_verb_is_refused_and_told_what_is_allowed(string verb)
    {
        var (ask, problem) = _desk.Judge(Message(verb, ""));
        Assert.Null(ask);
        Assert.Equal($"ask/{verb}: unknown verb; allowed: close, events, note, challenge, open, reset", problem);
    }

    [Fact]
    public void Control_characters_of_an_asker_do_not_reach_the_log()
    {
        var (ask, _) = _desk.Judge(Message("close", """{"by":"a\nb\u001b[31m"}"""));
        Assert.Equal("ab[31m", ask!.By);
    }

    [Theory]
    [InlineData("evenwater/v1/sim-river/answer/phone", true)]
    [InlineData("evenwater/v1/sim-river/answer/phone/7", true)]
    [InlineData("evenwater/v1/sim-river/answer/", false)]
    [InlineData("evenwater/v1/sim-river/answer/+", false)]
    [InlineData("evenwater/v1/sim-river/answer/#", false)]
    [InlineData("evenwater/v1/sim-river/say", false)]
    [InlineData("evenwater/v1/other/answer/phone", false)]
    [InlineData("home/door/open", false)]
    public void Answers_go_only_to_our_own_answer_topics(string topic, bool allowed)
    {
        var message = Message("close", "");
        message.ResponseTopic = topic;
        var (answer, problem) = _desk.AnswerTopic(message);
        Assert.Equal(allowed ? topic : null, answer);
        Assert.Equal(allowed, problem is null);
    }

    [Fact]
    public void No_response_topic_is_no_problem() => Assert.Equal((null, null), _desk.AnswerTopic(Message("close", "")));

    [Fact]
    public void A_note_is_taken_without_a_signature_with_all_that_it_says()
    {
        var (ask, problem) = _desk.Judge(Message("note", """{"kind":"dose","text":"iron","amount":5,"unit":"mL","at":"2026-03-14T19:30:00+01:00","corrects":"n3","by":"phone"}"""));
        Assert.Null(problem);
        Assert.Equal(
            new Note { Kind = NoteKind.Dose, Text = "iron", Amount = 5, Unit = "mL", At = new(2026, 3, 14, 19, 30, 0, TimeSpan.FromHours(1)), Corrects = "n3", By = "phone" }, ask!.Note);
    }

    [Theory]
    [InlineData("", "payload: not as it must be")]
    [InlineData("""{"text":"x"}""", "payload: not as it must be")]
    [InlineData("""{"kind":"dance"}""", "payload.kind: dance; allowed: water-change, top-off")]
    [InlineData("""{"kind":"feed","calibration":{}}""", "not as it must be")]
    [InlineData("""{"kind":"feed","at":"soon"}""", "payload.at: not as it must be")]
    public void A_note_that_is_not_in_order_is_refused(string payload, string says)
    {
        var (ask, problem) = _desk.Judge(Message("note", payload));
        Assert.Null(ask);
        Assert.Contains(says, problem, StringComparison.Ordinal);
    }

    private static MqttApplicationMessage Message(string verb, string payload, bool retain = false) => new MqttApplicationMessageBuilder()
        .WithTopic($"evenwater/v1/sim-river/ask/{verb}")
        .WithPayload(payload)
        .WithRetainFlag(retain)
        .Build();
}
