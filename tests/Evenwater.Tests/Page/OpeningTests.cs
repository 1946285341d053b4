using System.Net;
using System.Text.Json;
using Evenwater.Followers;
using Evenwater.Page.Opening;
using Evenwater.Running;

namespace Evenwater.Tests.Page;

/// <summary>Opening and resetting over the page, as a program asks for it; what a browser sees is tested with one.</summary>
public class OpeningTests
{
    private const string River = "/api/v1/stations/sim-river/";

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task What_was_shown_is_what_is_confirmed_and_done()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var asked = await Ask(page, "open");
        Assert.Equal(("sim-river", "open", 8400, 43_800), (asked.Station, asked.Verb, asked.Millilitres, asked.Seconds));
        Assert.Equal(32, asked.Nonce.Length);
        Assert.Equal("Confirming this will open sim-river for at most 8.40 L and 12 h 10 min.", asked.Sentence);
        Assert.Empty(page.Confirmed); // asking changes nothing
        var answer = await Confirm(page, "open", Form(asked));
        Assert.Equal((HttpStatusCode.OK, "open: done."), (answer.Status, answer.Text));
        Assert.Equal(("sim-river", new Confirmed("open", new OpeningBudget(8400, 43_800), Attended: false)), Assert.Single(page.Confirmed));
    }

    [Fact]
    public async Task What_was_measured_for_a_run_is_part_of_what_is_confirmed()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.NoRun() with { Beginning = new(1.6, 0.1, 10.4, 15, null) });
        foreach (var (measured, field, value) in new[]
        {
            ("", "tankMicrosiemensPerCm", ""), ("\"tankMicrosiemensPerCm\":0", "tankMicrosiemensPerCm", "0"), ("\"tankMicrosiemensPerCm\":185,\"startVolumeLitres\":0.04", "startVolumeLitres", "0.04"),
            ("\"tankMicrosiemensPerCm\":185,\"startVolumeLitres\":\"10.4\"", "startVolumeLitres", "10.4"), ("\"tankMicrosiemensPerCm\":\"some\"", "tankMicrosiemensPerCm", "some"),
            ("\"tankMicrosiemensPerCm\":185,\"startVolume\":1.55", "startVolume", "1.55"), // a slip: the run would have begun with the station file's volume
            ("\"tankMicrosiemensPerCm\":185,\"startVolumeLitres\":1.55,\"byEye\":\"yes\"", "byEye", "yes"), // would have passed for measured with a jug
            ("\"tankMicrosiemensPerCm\":185,\"attended\":\"no\"", "attended", "no"),
        })
        {
            using var body = Json($"{{\"verb\":\"open\"{(measured.Length > 0 ? "," : "")}{measured}}}");
            var refused = await page.Client.PostAsync(new Uri(River + "challenge", UriKind.Relative), body, Stop);
            Assert.Equal(HttpStatusCode.UnprocessableEntity, refused.StatusCode);
            var error = JsonDocument.Parse(await refused.Content.ReadAsStringAsync(Stop)).RootElement.GetProperty("errors")[0];
            Assert.Equal((field, value), (error.GetProperty("field").GetString(), error.GetProperty("value").GetString()));
        }

        foreach (var (field, value) in new[] { ("startVolumeLitres", "1.65"), ("startVolumeLitres", ""), ("byEye", ""), ("tankMicrosiemensPerCm", "186"), ("attended", "on"), ("", "") })
        {
            using var body = Json("""{"verb":"open","startVolumeLitres":1.55,"byEye":true,"tankMicrosiemensPerCm":185.5}""");
            var answer = await page.Client.PostAsync(new Uri(River + "challenge", UriKind.Relative), body, Stop);
            var asked = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Stop)).RootElement.EnumerateObject().ToDictionary(p => p.Name, p => p.Value.ToString());
            if (field.Length > 0) asked[field] = value;
            Assert.Equal(field.Length > 0 ? HttpStatusCode.Conflict : HttpStatusCode.OK, (await Confirm(page, "open", asked)).Status);
        }

        Assert.Equal(new StartMeasured(1.55, ByEye: true, 185.5), Assert.Single(page.Confirmed).What.Measured);
        Assert.Equal((1.55, 0.15, 185.5), (page.Confirmed[0].What.Measured.Known(false).StartVolumeLitres, page.Confirmed[0].What.Measured.Known(false).StartVolumeRelativeSd, page.Confirmed[0].What.Measured.Known(false).TankMicrosiemensPerCm));
    }

    /// <summary>Of a cup without a probe in its tank it stood "give or take 0 L", "0.1 mL/min" of 0.05, and that 'evenwater begin' matches the probes; of a dead probe that it "read –".</summary>
    [Fact]
    public async Task The_form_tells_what_this_station_has()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.NoRun() with { Beginning = new(0.05, 0.002, 0.28, 0.05, null) });
        var begin = new Uri("/stations/sim-river/begin", UriKind.Relative);
        var cup = await page.Client.GetStringAsync(begin, Stop);
        Assert.Contains("0.05 L, as the station file says (give or take 0.002 L).", cup, StringComparison.Ordinal);
        Assert.Contains("0.05 mL/min, as the station file says", cup, StringComparison.Ordinal);
        Assert.DoesNotContain("matches the probes", cup, StringComparison.Ordinal);
        page.Board.Post(MadeUp.NoRun() with { Beginning = new(1.6, 0.03, 10.4, 15, new("Tank conductivity", null, "µS/cm at 25 °C", 2, "out of range")) });
        var dead = await page.Client.GetStringAsync(begin, Stop);
        Assert.Contains("its probe gave no good reading, 2 s before this page was shown; not believed: out of range", dead, StringComparison.Ordinal);
        Assert.Contains("matches the probes as well", dead, StringComparison.Ordinal);
    }

    /// <summary>A page that was left open while somebody else began, or the station tripped, asks for what is no longer there to be asked.</summary>
    [Theory]
    [InlineData(Opens.Nothing, "open", false)]
    [InlineData(Opens.Nothing, "reset", false)]
    [InlineData(Opens.Begin, "open", true)]
    [InlineData(Opens.Begin, "reset", false)]
    [InlineData(Opens.GoOn, "open", true)]
    [InlineData(Opens.Reset, "open", false)]
    [InlineData(Opens.Reset, "reset", true)]
    public async Task A_person_is_asked_only_what_the_station_may_be_asked_now(Opens opens, string verb, bool asked)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.NoRun() with { Opens = opens });
        using var form = new FormUrlEncodedContent([new("verb", verb), new("token", page.Token)]);
        using var request = new HttpRequestMessage(HttpMethod.Post, new Uri(River + "challenge", UriKind.Relative)) { Content = form };
        request.Headers.Add("Accept", "text/html");
        using var answer = await page.Client.SendAsync(request, Stop);
        Assert.Equal(asked ? HttpStatusCode.OK : HttpStatusCode.Conflict, answer.StatusCode);
        var html = await answer.Content.ReadAsStringAsync(Stop);
        Assert.NotEqual(asked, html.Contains("aria-current=\"page\"", StringComparison.Ordinal)); // a step on the way is none of the pages
        Assert.Equal(asked ? 0 : 1, html.Split("Nothing was asked: sim-river stands otherwise by now (idle).").Length - 1);
    }

    /// <summary>Another page has ended the held run, or begun one and closed, while the question stood: whether a new run begins was part of what was shown.</summary>
    [Theory]
    [InlineData(Opens.GoOn, Opens.Begin)]
    [InlineData(Opens.Begin, Opens.GoOn)]
    public async Task What_was_asked_of_one_run_is_not_done_to_another(Opens asked, Opens confirmed)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.NoRun() with { Opens = asked });
        var question = Form(await Ask(page, "open"));
        page.Board.Post(MadeUp.NoRun() with { Opens = confirmed });
        var answer = await Confirm(page, "open", question);
        Assert.Equal(HttpStatusCode.Conflict, answer.Status);
        Assert.Contains("sim-river stands otherwise by now", answer.Text, StringComparison.Ordinal);
        Assert.Empty(page.Confirmed);
    }

    /// <summary>An old tab or a bookmark: why not, and what to do instead.</summary>
    [Theory]
    [InlineData(Opens.Nothing, "one is going on.")]
    [InlineData(Opens.GoOn, "one is held. Go on with it below, or end it first by evenwater finish.")]
    [InlineData(Opens.Reset, "it must be reset first, below, once the cause is gone.")]
    public async Task Where_no_run_can_begin_it_stands_why(Opens opens, string why)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1) with { Opens = opens });
        var html = await page.Client.GetStringAsync(new Uri("/stations/sim-river/begin", UriKind.Relative), Stop);
        Assert.Contains("No run can begin just now: " + why, html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Of_a_station_that_has_fallen_silent_nothing_is_asked_by_what_it_said_last()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.NoRun());
        var begin = new Uri("/stations/sim-river/begin", UriKind.Relative);
        Assert.Contains("Ask to open", await page.Client.GetStringAsync(begin, Stop), StringComparison.Ordinal);
        page.Time.Pass(40);
        var html = await page.Client.GetStringAsync(begin, Stop);
        Assert.Contains("No run can begin just now: see below.", html, StringComparison.Ordinal);
        Assert.DoesNotContain("Ask to open", html, StringComparison.Ordinal);
        using var body = Json("{\"verb\":\"open\"}");
        using var answer = await page.Client.PostAsync(new Uri(River + "challenge", UriKind.Relative), body, Stop);
        Assert.Equal(HttpStatusCode.ServiceUnavailable, answer.StatusCode);
        Assert.Contains("Nothing was asked: sim-river has not reported for 40 s.", await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_confirmation_is_good_once()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Alarm());
        var asked = Form(await Ask(page, "reset"));
        Assert.Equal(HttpStatusCode.OK, (await Confirm(page, "reset", asked)).Status);
        var replayed = await Confirm(page, "reset", asked);
        Assert.Equal(HttpStatusCode.Conflict, replayed.Status);
        Assert.StartsWith("Nothing was reset by this: the question was answered before, or is older than 30 s. Look how sim-river stands now", replayed.Text, StringComparison.Ordinal);
        Assert.Single(page.Confirmed);
    }

    [Theory]
    [InlineData(29, HttpStatusCode.OK)]
    [InlineData(31, HttpStatusCode.Conflict)]
    public async Task It_is_good_for_half_a_minute_of_the_monotonic_clock(double seconds, HttpStatusCode status)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var asked = Form(await Ask(page, "open"));
        page.Time.Pass(seconds);
        Assert.Equal(status, (await Confirm(page, "open", asked)).Status);
        Assert.Equal(status == HttpStatusCode.OK ? 1 : 0, page.Confirmed.Count);
    }

    [Theory]
    [InlineData("millilitres", "8401", "that is not what was asked (open sim-river for at most 8.40 L and 12 h 10 min)")]
    [InlineData("seconds", "99999", "that is not what was asked")]
    [InlineData("seconds", "much", "that is not what was asked")]
    [InlineData("mac", "00", "the question was put to somebody else")]
    [InlineData("mac", "", "the question was put to somebody else")]
    [InlineData("nonce", "00000000000000000000000000000000", "the question was answered before")]
    [InlineData("nonce", "", "the question was answered before")]
    public async Task What_was_changed_on_its_way_is_refused_and_used_up(string field, string value, string why)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var asked = Form(await Ask(page, "open"));
        var changed = new Dictionary<string, string>(asked) { [field] = value };
        var refused = await Confirm(page, "open", changed);
        Assert.Equal(HttpStatusCode.Conflict, refused.Status);
        Assert.Contains(why, refused.Text, StringComparison.Ordinal);
        if (field != "nonce") Assert.Equal(HttpStatusCode.Conflict, (await Confirm(page, "open", asked)).Status);
        Assert.Empty(page.Confirmed);
    }

    [Fact]
    public async Task A_question_of_one_verb_or_station_answers_no_other()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1), MadeUp.Night(1, "sim-goby"));
        Assert.Equal(HttpStatusCode.Conflict, (await Confirm(page, "open", Form(await Ask(page, "reset")))).Status);
        var asked = Form(await Ask(page, "open"));
        Assert.Equal(HttpStatusCode.Conflict, (await Confirm(page, "open", asked, "sim-goby")).Status);
        Assert.Empty(page.Confirmed);
    }

    [Fact]
    public void What_was_shown_to_one_visitor_can_not_be_confirmed_by_another()
    {
        var desk = new OpeningDesk(_ => new OpeningBudget(8400, 43_800), new SteppedTime());
        var challenge = desk.Give("sim-river", "open").Challenge!;
        var answer = new SignedAsk(challenge.Nonce, 8400, 43_800, desk.Sign(challenge, "one"));
        Assert.Contains("somebody else", desk.Take("sim-river", "open", answer, "another"), StringComparison.Ordinal);
        challenge = desk.Give("sim-river", "open").Challenge!;
        Assert.Null(desk.Take("sim-river", "open", new SignedAsk(challenge.Nonce, 8400, 43_800, desk.Sign(challenge, "one")), "one"));
    }

    [Fact]
    public async Task What_the_station_refuses_is_told_with_its_reason()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1, "forbidden"), MadeUp.Night(1, "gone"));
        var refused = await Confirm(page, "open", Form(await Ask(page, "open", "forbidden")), "forbidden");
        Assert.Equal((HttpStatusCode.Conflict, "Refused: a float is wet."), (refused.Status, refused.Text));
        using var unknown = Json("{\"verb\":\"open\"}");
        Assert.Equal(HttpStatusCode.ServiceUnavailable, (await page.Client.PostAsync(new Uri("/api/v1/stations/gone/challenge", UriKind.Relative), unknown, Stop)).StatusCode);
    }

    [Theory]
    [InlineData("{\"verb\":\"drain\"}", "drain")]
    [InlineData("{}", "")]
    [InlineData("[1]", "")]
    [InlineData("{\"verb\":", "")]
    [InlineData("{\"verb\":\"open\",\"verb\":\"reset\"}", "")]
    [InlineData("{\"verb\":\"\\ud800\"}", "")] // RFC 8259, section 8.2: a lone surrogate is grammatical, and no text
    [InlineData("{\"\\ud800\":1}", "")]
    public async Task A_question_that_makes_no_sense_names_what_is_allowed(string body, string given)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        using var content = Json(body);
        var answer = await page.Client.PostAsync(new Uri(River + "challenge", UriKind.Relative), content, Stop);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
        var error = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Stop)).RootElement.GetProperty("errors")[0];
        Assert.Equal(("verb", given, "open or reset"), (error.GetProperty("field").GetString(), error.GetProperty("value").GetString(), error.GetProperty("allowed").GetString()));
    }

    [Fact]
    public async Task Who_floods_with_questions_keeps_the_valve_closed_and_pushes_none_out()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var first = Form(await Ask(page, "open"));
        for (var i = 1; i < OpenChallenges.Most; i++) await Ask(page, "open");
        using var more = Json("{\"verb\":\"open\"}");
        Assert.Equal(HttpStatusCode.ServiceUnavailable, (await page.Client.PostAsync(new Uri(River + "challenge", UriKind.Relative), more, Stop)).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await Confirm(page, "open", first)).Status);
    }

    [Fact]
    public async Task Another_origin_neither_asks_nor_confirms()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var asked = Form(await Ask(page, "open"));
        foreach (var verb in new[] { "challenge", "open", "reset" })
        {
            using var request = new HttpRequestMessage(HttpMethod.Post, new Uri(River + verb, UriKind.Relative));
            request.Headers.Add("Origin", "http://evil.example");
            request.Content = Json(JsonSerializer.Serialize(asked));
            Assert.Equal(HttpStatusCode.Forbidden, (await page.Client.SendAsync(request, Stop)).StatusCode);
        }

        Assert.Empty(page.Confirmed);
    }

    private static StringContent Json(string text) => new(text, System.Text.Encoding.UTF8, "application/json");

    private static Dictionary<string, string> Form(Question asked) => new()
    {
        ["nonce"] = asked.Nonce, ["millilitres"] = $"{asked.Millilitres}", ["seconds"] = $"{asked.Seconds}", ["mac"] = asked.Mac,
    };

    private static async Task<Question> Ask(ServedPage page, string verb, string station = "sim-river")
    {
        using var body = Json($$"""{"verb":"{{verb}}"}""");
        var answer = await page.Client.PostAsync(new Uri($"/api/v1/stations/{station}/challenge", UriKind.Relative), body, Stop);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        var root = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Stop)).RootElement;
        Assert.Equal(30, root.GetProperty("validSeconds").GetInt32());
        var question = new Question(
            root.GetProperty("station").GetString()!, root.GetProperty("verb").GetString()!, root.GetProperty("nonce").GetString()!,
            root.GetProperty("millilitres").GetInt64(), root.GetProperty("seconds").GetInt64(), root.GetProperty("mac").GetString()!, Attended: false);
        Assert.Equal(question.Sentence, root.GetProperty("sentence").GetString());
        return question;
    }

    private static async Task<(HttpStatusCode Status, string Text)> Confirm(ServedPage page, string verb, Dictionary<string, string> fields, string station = "sim-river")
    {
        using var body = Json(JsonSerializer.Serialize(fields));
        var answer = await page.Client.PostAsync(new Uri($"/api/v1/stations/{station}/{verb}", UriKind.Relative), body, Stop);
        var root = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Stop)).RootElement;
        return (answer.StatusCode, (root.TryGetProperty("sentence", out var sentence) ? sentence : root.GetProperty("detail")).GetString()!);
    }
}
