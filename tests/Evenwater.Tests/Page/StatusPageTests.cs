using System.Net;
using System.Text.RegularExpressions;
using Evenwater.Core.Telling;
using Evenwater.Page;

namespace Evenwater.Tests.Page;

public partial class StatusPageTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public static TheoryData<string> Names => [.. s_views.Keys];

    private static readonly Dictionary<string, StationView> s_views = new(StringComparer.Ordinal)
    {
        ["steady"] = MadeUp.Night(5.2),
        ["just begun"] = MadeUp.Night(0.01),
        ["even and past the mark"] = MadeUp.Night(10.5),
        ["alarm"] = MadeUp.Alarm(),
        ["can't tell"] = MadeUp.CannotTell(),
        ["no forecast"] = MadeUp.Night(2) with { Forecast = null },
        ["no run"] = MadeUp.NoRun(),
        ["between two runs"] = MadeUp.Night(2) with { Phase = "idle", ValveOpen = false, Forecast = null, ToleranceMicrosiemensPerCm = null },
    };

    [Theory]
    [MemberData(nameof(Names))]
    public async Task Every_state_is_told_without_nonsense_numbers_or_third_parties(string state)
    {
        var view = s_views[state];
        await using var page = await ServedPage.StartAsync(view);
        var html = TokenValue().Replace(await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop), "");

        Assert.Contains(view.Sentence, WebUtility.HtmlDecode(html), StringComparison.Ordinal);
        Assert.Contains("Simulated", html, StringComparison.Ordinal);
        Assert.Contains("Not a safety device", html, StringComparison.Ordinal);
        Assert.Contains("Close the valve", html, StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", html, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("Infinity", html, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("∞", html, StringComparison.Ordinal);
        Assert.DoesNotMatch(NegativeTime(), html);
        Assert.Equal(html.Contains("fill=\"url(#hatch-wide)\"", StringComparison.Ordinal), html.Contains("Hatched: even with the tank.", StringComparison.Ordinal)); // what is drawn is told, and nothing else
        Assert.Equal(html.Contains("p-middle", StringComparison.Ordinal), html.Contains("Dashed: ", StringComparison.Ordinal));
        Assert.DoesNotContain("://", html.Replace("http://www.w3.org/2000/svg", "", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.DoesNotContain("<script", OwnScript().Replace(html, "", 1), StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain(" style=", html, StringComparison.OrdinalIgnoreCase);

        // What is named or told by another part of the page finds it there (HTML, "ID reference list"; WCAG 2.2, 4.1.2).
        var named = IdReferences().Matches(html).SelectMany(match => match.Groups[1].Value.Split(' ')).ToList();
        Assert.NotEmpty(named);
        Assert.All(named, id => Assert.Contains($" id=\"{id}\"", html, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(StateWord.Steady, "Steady")]
    [InlineData(StateWord.Look, "Look")]
    [InlineData(StateWord.Act, "Act")]
    [InlineData(StateWord.CannotTell, "Can't tell")]
    public async Task The_word_comes_first_and_each_has_its_own_shape(StateWord word, string words)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1) with { Word = word });
        var html = WebUtility.HtmlDecode(await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop));
        var line = WordLine().Match(html);
        Assert.Contains(words, line.Value, StringComparison.Ordinal);
        Assert.Contains("<svg", line.Value, StringComparison.Ordinal);
        Assert.Contains($"<title>{words}: sim-river</title>", html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_old_or_missing_says_so()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.CannotTell());
        var html = await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop);
        Assert.Contains("stale 7 min", html, StringComparison.Ordinal);
        Assert.Contains("does not answer", html, StringComparison.Ordinal);
        Assert.Single(Regex.Matches(html, "<tr class=\"doubt\""));
    }

    [Fact]
    public async Task A_silent_station_is_not_believed_whatever_it_said_last()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(5.2));
        page.Time.Pass(Posted.SilenceSeconds + 30);
        var html = WebUtility.HtmlDecode(await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop));
        Assert.Contains("<title>Can't tell", html, StringComparison.Ordinal);
        Assert.Contains("has not reported for 40 s", html, StringComparison.Ordinal);
        Assert.DoesNotContain("Opened the valve at 20:00", html, StringComparison.Ordinal);
        Assert.Contains("<dd>Not known. If its cycle stands still, its valve closes by itself within 5 s.</dd>", html, StringComparison.Ordinal);
        Assert.Contains("stale 40 min", html, StringComparison.Ordinal); // 40 s at 60 times life
        Assert.Equal(HttpStatusCode.ServiceUnavailable, (await page.Client.GetAsync(new Uri("/healthz", UriKind.Relative), Stop)).StatusCode);
    }

    [Fact]
    public async Task A_clock_that_was_never_set_is_told_and_not_shown()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(5.2) with { ClockKnown = false });
        var html = WebUtility.HtmlDecode(await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop));
        Assert.Contains("This computer's clock was never set", html, StringComparison.Ordinal);
        Assert.DoesNotContain("data-clock", html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_hostile_text_stays_text()
    {
        const string Hostile = "</p><script>alert(1)</script><img src=x onerror=alert(1)>\u001b[2J";
        var view = MadeUp.Alarm() with
        {
            Name = Hostile,
            Sentence = Hostile,
            Did = Hostile,
            Do = Hostile,
            Phase = Hostile,
            Values = [new(Hostile, 1, Hostile, 1, Hostile) { Text = Hostile }],
            Alarms = [new(Hostile, Hostile, Hostile)],
            Budgets = [new(Hostile, 1, 2, Hostile)],
        };
        await using var page = await ServedPage.StartAsync(view, MadeUp.Night(1));
        foreach (var path in new[] { "/", "/stations/sim-river", "/stations/" + Uri.EscapeDataString("<script>x") })
        {
            var html = await (await page.Client.GetAsync(new Uri(path, UriKind.Relative), Stop)).Content.ReadAsStringAsync(Stop);
            Assert.DoesNotContain("<script", OwnScript().Replace(html, "", 1), StringComparison.OrdinalIgnoreCase);
            Assert.DoesNotContain("<img", html, StringComparison.OrdinalIgnoreCase);
            Assert.Contains("&lt;script&gt;", html, StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task What_needs_a_person_comes_first_and_the_others_are_one_tap_away()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1, "goby"), MadeUp.Alarm() with { Name = "river" });
        var html = await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop);
        Assert.Contains("<title>Act: 2 stations</title>", html, StringComparison.Ordinal);
        Assert.Contains("href=\"/stations/goby\"", html, StringComparison.Ordinal);
        Assert.DoesNotContain("<a href=\"/\">", html, StringComparison.Ordinal);

        // Without script it is fetched anew every few seconds, until somebody holds it still (WCAG 2.2, 2.2.1).
        Assert.Contains("http-equiv=\"refresh\"", html, StringComparison.Ordinal);
        Assert.Contains("<a href=\"/?still=1\">Hold it still</a>", html, StringComparison.Ordinal);
        var still = await page.Client.GetStringAsync(new Uri("/?still=1", UriKind.Relative), Stop);
        Assert.Contains("<a href=\"/\">Follow again</a>", still, StringComparison.Ordinal);
        Assert.DoesNotContain("http-equiv=\"refresh\"", still, StringComparison.Ordinal);
        Assert.DoesNotContain("<script", still, StringComparison.Ordinal);
        Assert.Contains("<a href=\"/\">All</a>", await page.Client.GetStringAsync(new Uri("/stations/goby", UriKind.Relative), Stop), StringComparison.Ordinal); // and back
    }

    [Fact]
    public async Task Before_the_first_word_the_page_says_that_it_can_not_tell()
    {
        await using var page = await ServedPage.StartAsync();
        Assert.Contains("No station has reported yet", await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop), StringComparison.Ordinal);

        // Nor that a station is not there, which comes within seconds: who has its page open without script is to see it then.
        var early = await page.Client.GetAsync(new Uri("/stations/sim-river", UriKind.Relative), Stop);
        Assert.Equal((System.Net.HttpStatusCode.ServiceUnavailable, "2"), (early.StatusCode, Assert.Single(early.Headers.GetValues("Refresh"))));
        Assert.Contains("No station has reported yet", await early.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        using var closing = await page.Client.PostAsync(new Uri("/api/v1/stations/sim-river/close", UriKind.Relative), null, Stop);
        Assert.Equal((System.Net.HttpStatusCode.ServiceUnavailable, "2"), (closing.StatusCode, Assert.Single(closing.Headers.GetValues("Retry-After"))));
        Assert.Contains("\"detail\":\"No station has reported yet: the program is starting, and every valve is closed.", await closing.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        page.Board.Post(MadeUp.NoRun());
        var other = await page.Client.GetAsync(new Uri("/stations/nobody", UriKind.Relative), Stop);
        Assert.Equal((System.Net.HttpStatusCode.NotFound, false), (other.StatusCode, other.Headers.Contains("Refresh")));
        Assert.Contains("There is no station nobody.", await other.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
    }

    /// <summary>One that goes through a long log while another drips was said not to exist, and the front page was the other's alone.</summary>
    [Fact]
    public async Task A_station_that_goes_through_its_log_is_said_to_while_another_is_there()
    {
        await using var page = await ServedPage.StartAsync();
        page.Board.Expected = ["sim-river", "pond"];
        page.Board.Post(MadeUp.NoRun());
        Assert.Equal("starting\n", await (await page.Client.GetAsync(new Uri("/healthz", UriKind.Relative), Stop)).Content.ReadAsStringAsync(Stop));
        var front = await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop);
        Assert.Contains("pond has not reported yet: the program starts it and goes through its log, and its valve is closed.", front, StringComparison.Ordinal);
        Assert.Contains("2 stations</title>", front, StringComparison.Ordinal);
        var early = await page.Client.GetAsync(new Uri("/stations/pond", UriKind.Relative), Stop);
        Assert.Equal((System.Net.HttpStatusCode.ServiceUnavailable, "2"), (early.StatusCode, Assert.Single(early.Headers.GetValues("Refresh"))));
        Assert.Contains("pond has not reported yet", await early.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        using var closing = await page.Client.PostAsync(new Uri("/api/v1/stations/pond/close", UriKind.Relative), null, Stop);
        Assert.Equal((System.Net.HttpStatusCode.OK, "pond"), (closing.StatusCode, Assert.Single(page.Closed).Split(' ')[0])); // a close waits behind nothing
        Assert.Equal(System.Net.HttpStatusCode.NotFound, (await page.Client.GetAsync(new Uri("/stations/nobody", UriKind.Relative), Stop)).StatusCode);

        page.Board.Post(MadeUp.NoRun() with { Name = "pond" });
        Assert.DoesNotContain("has not reported yet", await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop), StringComparison.Ordinal);
        Assert.Equal("ok\n", await page.Client.GetStringAsync(new Uri("/healthz", UriKind.Relative), Stop));
    }

    /// <summary>Random letters, which may spell anything: one page in four hundred says "nan".</summary>
    [GeneratedRegex("(?<=name=\"token\" value=\")[^\"]*")]
    private static partial Regex TokenValue();

    [GeneratedRegex("aria-(?:labelledby|describedby)=\"([^\"]*)\"")]
    private static partial Regex IdReferences();

    [GeneratedRegex("""-\d+ (s|min|h)\b""")]
    private static partial Regex NegativeTime();

    [GeneratedRegex("""<script type="module" src="/assets/live\.js\?v=[0-9a-f]{8}"></script>""")]
    private static partial Regex OwnScript();

    [GeneratedRegex("""<p class="word.*?</p>""", RegexOptions.Singleline)]
    private static partial Regex WordLine();
}
