using Evenwater.Followers;
using Evenwater.Running;
using Evenwater.Tests.Page;

namespace Evenwater.Tests.Followers;

/// <summary>Opening and resetting over MQTT: signed, once, in time; everything else is refused and kept.</summary>
public sealed class SignedAskTests
{
    private readonly SteppedTime _time = new();
    private readonly AskDesk _desk;

    public SignedAskTests() => _desk = Desks.Of("sim-river", Desks.Key, time: _time);

    [Fact]
    public void What_was_signed_in_time_is_done_for_the_budget_it_was_signed_for()
    {
        var challenge = Desks.Ask(_desk);
        Assert.Equal(("open", Desks.Budget), (challenge.Verb, challenge.Budget));
        Assert.Matches("^[0-9a-f]{32}$", challenge.Nonce);
        _time.Pass(30);
        var judged = _desk.Judge(Desks.Message("open", Desks.Signed(challenge)));
        Assert.Equal((new Ask("sim-river", "open", "mqtt", Desks.Budget), null), (judged.Ask, judged.Problem));
        Assert.Empty(judged.Events);
    }

    [Fact]
    public void A_reset_is_signed_for_no_water_and_no_time()
    {
        var challenge = Desks.Ask(_desk, "reset");
        Assert.Equal(default, challenge.Budget);
        Assert.Equal(new Ask("sim-river", "reset", "mqtt"), _desk.Judge(Desks.Message("reset", Desks.Signed(challenge))).Ask);
    }

    [Fact]
    public void Replayed_it_is_refused()
    {
        var sent = Desks.Message("open", Desks.Signed(Desks.Ask(_desk)));
        Assert.NotNull(_desk.Judge(sent).Ask);
        Refuses(sent, "ask/open: nonce: not known here, used before, or older than 30 s");
    }

    [Fact]
    public void Late_it_is_refused()
    {
        var challenge = Desks.Ask(_desk);
        _time.Pass(30.001);
        Refuses(Desks.Message("open", Desks.Signed(challenge)), "ask/open: nonce: not known here, used before, or older than 30 s");
    }

    [Fact]
    public void Steps_of_the_wall_clock_neither_shorten_nor_lengthen_it()
    {
        var time = new SteppedWall();
        var desk = Desks.Of("sim-river", Desks.Key, time: time);
        var challenge = Desks.Ask(desk);
        time.Wall = time.Wall.AddYears(10);
        Assert.NotNull(desk.Judge(Desks.Message("open", Desks.Signed(challenge))).Ask);
        challenge = Desks.Ask(desk);
        time.Wall = time.Wall.AddYears(-20);
        time.Monotonic += 30_001;
        Assert.Null(desk.Judge(Desks.Message("open", Desks.Signed(challenge))).Ask);
    }

    [Fact]
    public void Retained_it_is_refused_and_its_challenge_is_left_as_it_was()
    {
        var challenge = Desks.Ask(_desk);
        Refuses(Desks.Message("open", Desks.Signed(challenge), retain: true), "ask/open: retained; allowed: not retained");
        Assert.NotNull(_desk.Judge(Desks.Message("open", Desks.Signed(challenge))).Ask);
    }

    [Fact]
    public void With_any_one_digit_of_the_signature_changed_it_is_refused_and_used_up()
    {
        for (var i = 0; i < 64; i++)
        {
            var desk = Desks.Of("sim-river", Desks.Key);
            var challenge = Desks.Ask(desk);
            var mac = challenge.Sign(Desks.Key).ToCharArray();
            mac[i] = mac[i] == '0' ? '1' : '0';
            var judged = desk.Judge(Desks.Message("open", Desks.Payload(challenge, new string(mac))));
            Assert.Null(judged.Ask);
            Assert.StartsWith("ask/open: mac: does not fit", judged.Problem, StringComparison.Ordinal);
            Assert.Null(desk.Judge(Desks.Message("open", Desks.Signed(challenge))).Ask);
        }
    }

    [Fact]
    public void Signed_for_another_station_another_budget_another_verb_or_with_another_key_it_is_refused()
    {
        var challenge = Desks.Ask(_desk);
        Refuses(Desks.Message("open", Desks.Payload(challenge, (challenge with { Station = "sim-lagoon" }).Sign(Desks.Key))), "ask/open: mac: does not fit");

        challenge = Desks.Ask(_desk);
        Refuses(Desks.Message("open", Desks.Signed(challenge with { Budget = challenge.Budget with { Millilitres = 20_000 } })), "ask/open: millilitres: 20000; allowed: 10000");

        challenge = Desks.Ask(_desk);
        Refuses(Desks.Message("open", Desks.Signed(challenge with { Budget = challenge.Budget with { Seconds = 90_000 } })), "ask/open: seconds: 90000; allowed: 46800");

        // The budget in the clear is right, the signed one is not.
        challenge = Desks.Ask(_desk);
        Refuses(Desks.Message("open", Desks.Payload(challenge, (challenge with { Budget = new OpeningBudget(20_000, 46_800) }).Sign(Desks.Key))), "ask/open: mac: does not fit");
    }

    [Fact]
    public void A_challenge_for_a_reset_opens_nothing()
    {
        var reset = Desks.Ask(_desk, "reset");
        Refuses(Desks.Message("open", Desks.Signed(reset)), "ask/open: nonce: given for reset; allowed: one given for open");
        Refuses(Desks.Message("reset", Desks.Signed(Desks.Ask(_desk) with { Verb = "reset" })), "ask/reset: nonce: given for open");
        Refuses(Desks.Message("open", Desks.Signed(Desks.Ask(_desk), [.. Desks.Key.Reverse()])), "ask/open: mac: does not fit");
    }

    [Fact]
    public void A_nonce_of_one_station_is_not_known_at_another()
    {
        var lagoon = new ChallengeBook("sim-lagoon", Desks.Key, () => Desks.Budget, _time);
        var challenge = lagoon.Give("open").Challenge! with { Station = "sim-river" };
        Refuses(Desks.Message("open", Desks.Signed(challenge)), "ask/open: nonce: not known here");
    }

    [Fact]
    public void Without_a_key_nothing_is_given_out_opened_or_reset_and_closing_goes_on()
    {
        var desk = Desks.Of("sim-river");
        foreach (var message in new[] { Desks.Message("challenge", """{"verb":"open"}"""), Desks.Message("open", Any), Desks.Message("reset", Any) })
        {
            var judged = desk.Judge(message);
            Assert.Equal((null, null), (judged.Ask, judged.Challenge));
            Assert.Contains("no key is configured", judged.Problem, StringComparison.Ordinal);
            Assert.Equal("ask-refused", Assert.Single(judged.Events).Name);
        }

        Assert.NotNull(desk.Judge(Desks.Message("close", "")).Ask);
    }

    [Theory]
    [InlineData("", "payload")]
    [InlineData("null", "payload: null")]
    [InlineData("[]", "payload")]
    [InlineData("{}", "payload")]
    [InlineData("""{"nonce":"a","millilitres":1.5,"seconds":0,"mac":""}""", "payload.millilitres: not as it must be")]
    [InlineData("""{"nonce":null,"millilitres":1,"seconds":0,"mac":""}""", "payload.nonce: not as it must be")]
    [InlineData("""{"nonce":"a","millilitres":1,"seconds":0,"mac":"","more":1}""", "payload.more: not as it must be")]
    [InlineData("""{"nonce":"a","nonce":"b","millilitres":1,"seconds":0,"mac":""}""", "payload.nonce: not as it must be")]
    [InlineData("""{"nonce":"a","millilitres":99999999999999999999,"seconds":0,"mac":""}""", "payload.millilitres: not as it must be")]
    [InlineData(Any, "nonce: not known here")]
    public void Malformed_it_is_refused_by_the_key_that_is_wrong(string payload, string said)
    {
        Refuses(Desks.Message("open", payload), $"ask/open: {said}");
        Refuses(Desks.Message("reset", payload), $"ask/reset: {said}");
    }

    [Fact]
    public void A_challenge_needs_a_verb_that_is_signed_and_a_place_for_its_answer()
    {
        Refuses(Desks.Message("challenge", """{"verb":"close"}"""), "ask/challenge: payload.verb: close; allowed: open, reset");
        Refuses(Desks.Message("challenge", """{"verb":"open"}""", answer: null), "ask/challenge: no place to answer");
        Refuses(Desks.Message("challenge", """{"verb":"open"}""", answer: "home/door"), "ask/challenge: response topic: home/door");
        Refuses(Desks.Message("open", new string('x', 5000)), "ask/open: payload: 5000 bytes; allowed: up to 4096");
        var away = Desks.Of("sim-river", Desks.Key, () => null, _time);
        Assert.Contains("the station is not running", away.Judge(Desks.Message("challenge", """{"verb":"open"}""")).Problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Only_so_many_challenges_are_open_at_once_and_none_is_pushed_out()
    {
        var first = Desks.Ask(_desk);
        for (var i = 1; i < ChallengeBook.Most; i++)
        {
            Desks.Ask(_desk);
        }

        Refuses(Desks.Message("challenge", """{"verb":"open"}"""), "ask/challenge: 8 challenges are open already");
        Assert.NotNull(_desk.Judge(Desks.Message("open", Desks.Signed(first))).Ask);
        _time.Pass(31);
        Assert.NotNull(Desks.Ask(_desk));
    }

    private const string Any = """{"nonce":"00112233445566778899aabbccddeeff","millilitres":10000,"seconds":46800,"mac":"00"}""";

    private void Refuses(MQTTnet.MqttApplicationMessage message, string problem)
    {
        var judged = _desk.Judge(message);
        Assert.Equal((null, null), (judged.Ask, judged.Challenge));
        Assert.StartsWith(problem, judged.Problem, StringComparison.Ordinal);
        var kept = Assert.Single(judged.Events);
        Assert.Equal(("ask-refused", judged.Problem), (kept.Name, kept.Text));
    }

    /// <summary>A clock whose wall and whose timestamps are moved apart.</summary>
    private sealed class SteppedWall : TimeProvider
    {
        public DateTimeOffset Wall { get; set; } = new(2026, 3, 14, 20, 0, 0, TimeSpan.Zero);

        public long Monotonic { get; set; } = 1;

        public override long TimestampFrequency => 1000;

        public override long GetTimestamp() => Monotonic;

        public override DateTimeOffset GetUtcNow() => Wall;
    }
}
