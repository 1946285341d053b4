using System.Net;
using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;

namespace Evenwater.Tests.Page.Access;

/// <summary>What must come with a change: the page's own origin and its token, or JSON from no browser. And every refusal is a problem, whoever made it.</summary>
public partial class ChangeTests
{
    private const string Acknowledge = "/api/v1/stations/sim-river/alarms/leak/acknowledge";
    private const string Close = "/api/v1/stations/sim-river/close";

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>What a client sends, whether it carries the token, and what comes of it.</summary>
    public static TheoryData<string?, string?, string?, string, HttpStatusCode> Sent => new()
    {
        // content type, Origin, Sec-Fetch-Site, token in: field, header, none, old
        { "form", "own", "same-origin", "field", HttpStatusCode.OK },
        { "form", "null", "same-origin", "field", HttpStatusCode.OK },
        { "form", null, null, "field", HttpStatusCode.OK },
        { "form", "own", "same-origin", "none", HttpStatusCode.Forbidden },
        { "form", "own", "same-origin", "old", HttpStatusCode.Forbidden },
        { "form", null, null, "none", HttpStatusCode.Forbidden },
        { "form", "https://evil.example", "cross-site", "field", HttpStatusCode.Forbidden },
        { "application/json", null, null, "none", HttpStatusCode.OK }, // a program
        { "application/json", "own", "same-origin", "header", HttpStatusCode.OK }, // our own script
        { "application/json", "own", "same-origin", "none", HttpStatusCode.Forbidden },
        { "application/json", null, "same-origin", "none", HttpStatusCode.Forbidden },
        { "application/json", "own", null, "none", HttpStatusCode.Forbidden }, // a browser that tells no more
        { "application/json", "https://evil.example", null, "header", HttpStatusCode.Forbidden },
        { null, null, null, "none", HttpStatusCode.Forbidden },
        { null, null, null, "header", HttpStatusCode.OK },
        { "text/plain", null, null, "none", HttpStatusCode.UnsupportedMediaType },
        { "text/plain", "own", "same-origin", "header", HttpStatusCode.UnsupportedMediaType },
    };

    [Theory]
    [MemberData(nameof(Sent))]
    public async Task A_change_proves_where_it_comes_from(string? kind, string? origin, string? site, string tokenIn, HttpStatusCode expected)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Alarm());
        var html = await page.Client.GetStringAsync(new Uri("/", UriKind.Relative), Stop);
        var token = tokenIn == "old" ? new Evenwater.Page.Access.PageToken().Masked() : Token().Match(html).Groups[1].Value;
        using var request = new HttpRequestMessage(HttpMethod.Post, new Uri(Acknowledge, UriKind.Relative))
        {
            Content = kind switch
            {
                null => null,
                "form" => new FormUrlEncodedContent(tokenIn is "field" or "old" ? [new("token", token)] : []),
                _ => new StringContent("{}", Encoding.UTF8, kind),
            },
        };
        if (tokenIn == "header") request.Headers.Add("X-Evenwater-Token", token);
        if (origin is not null) request.Headers.Add("Origin", origin == "own" ? page.Address.ToString().TrimEnd('/') : origin);
        if (site is not null) request.Headers.Add("Sec-Fetch-Site", site);
        Assert.Equal(expected, (await page.Client.SendAsync(request, Stop)).StatusCode);
        Assert.Equal(expected == HttpStatusCode.OK ? 1 : 0, page.Asked.Count);
    }

    [Fact]
    public async Task A_closing_from_our_own_page_is_obeyed_though_its_token_is_old_and_nothing_else_is()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Alarm());
        using var old = new FormUrlEncodedContent([new("token", new Evenwater.Page.Access.PageToken().Masked())]);
        Assert.Equal(HttpStatusCode.OK, (await page.Client.PostAsync(new Uri(Close, UriKind.Relative), old, Stop)).StatusCode);
        Assert.Single(page.Closed);
        foreach (var path in new[] { "/api/v1/stations/sim-river/alarms/close/close", "/api/v1/stations/close", "/close", "/api/v1/stations/sim-river/x/close" })
        {
            Assert.Equal(HttpStatusCode.Forbidden, (await page.Client.PostAsync(new Uri(path, UriKind.Relative), null, Stop)).StatusCode);
        }
    }

    [Fact]
    public async Task Who_has_asked_too_often_can_still_close()
    {
        await using var page = await ServedPage.StartAsync(new Evenwater.Page.Access.PageDoor { Port = 0 }, null, MadeUp.Alarm()); // its clock stands still
        var asked = 0;
        while ((await AskAsync(page, "OFTEN", "/api/v1/stations/sim-river")).StatusCode == HttpStatusCode.OK) Assert.InRange(++asked, 1, 40);
        Assert.Equal(HttpStatusCode.TooManyRequests, (await AskAsync(page, "GET", "/healthz")).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await page.Client.PostAsync(new Uri(Close, UriKind.Relative), null, Stop)).StatusCode);
        Assert.Single(page.Closed);
    }

    [Theory]
    [InlineData("GET", "/api/v1/stations/nobody", 404)]
    [InlineData("GET", "/api/v1/nothing", 404)]
    [InlineData("GET", Close, 405)]
    [InlineData("DELETE", "/api/v1/stations/sim-river", 405)]
    [InlineData("POST", Acknowledge, 403)]
    [InlineData("GET", "/api/v1/stations/sim-river?LONG", 414)]
    [InlineData("LARGE", Acknowledge, 413)]
    [InlineData("TEXT", Acknowledge, 415)]
    [InlineData("TORN", Acknowledge, 400)]
    [InlineData("OFTEN", "/api/v1/stations/sim-river", 429)]
    [InlineData("HOST", "/api/v1/stations/sim-river", 400)]
    public async Task Every_refusal_is_a_problem_with_type_title_status_and_detail(string how, string path, int status)
    {
        await using var page = await ServedPage.StartAsync(new Evenwater.Page.Access.PageDoor { Port = 0 }, null, MadeUp.Alarm()); // its clock stands still
        var answer = await AskAsync(page, how, path);
        for (var i = 0; how == "OFTEN" && answer.StatusCode == HttpStatusCode.OK && i < 200; i++)
        {
            answer = await AskAsync(page, how, path);
        }

        Assert.Equal(status, (int)answer.StatusCode);
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType!.MediaType);
        var problem = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Stop)).RootElement;
        Assert.Equal(status, problem.GetProperty("status").GetInt32());
        Assert.All(["type", "title", "detail"], key => Assert.NotEmpty(problem.GetProperty(key).GetString()!));
        Assert.DoesNotContain("Evenwater.", problem.ToString(), StringComparison.Ordinal);
        Assert.Equal(status == 429, answer.Headers.RetryAfter is not null);
        Assert.Contains("no-store", answer.Headers.CacheControl!.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_breaks_within_is_a_problem_that_tells_nothing_of_the_inside()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Alarm());
        using var request = new HttpRequestMessage(HttpMethod.Post, new Uri("/api/v1/stations/sim-river/alarms/breaks/acknowledge", UriKind.Relative))
        {
            Content = new StringContent("{}", Encoding.UTF8, "application/json"),
        };
        var answer = await page.Client.SendAsync(request, Stop);
        Assert.Equal(HttpStatusCode.InternalServerError, answer.StatusCode);
        var text = await answer.Content.ReadAsStringAsync(Stop);
        Assert.Contains("\"title\":\"The program could not answer\"", text, StringComparison.Ordinal);
        Assert.DoesNotContain("the inside", text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("/stations/nobody/nothing", 404, "Nothing is here")]
    [InlineData(Close, 405, "Not in this way")]
    [InlineData("/stations/nobody/journal", 404, "No such station")]
    [InlineData("/stations/nobody/begin", 404, "No such station")]
    [InlineData("/stations/nobody/swings", 404, "No such station")]
    public async Task A_person_is_told_on_a_page(string path, int status, string said)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Alarm());
        using var request = new HttpRequestMessage(HttpMethod.Get, new Uri(path, UriKind.Relative));
        request.Headers.Accept.ParseAdd("text/html");
        var answer = await page.Client.SendAsync(request, Stop);
        Assert.Equal(status, (int)answer.StatusCode);
        var html = await answer.Content.ReadAsStringAsync(Stop);
        Assert.Contains($"<h1>{said}</h1>", html, StringComparison.Ordinal);
        Assert.DoesNotContain("openapi", html, StringComparison.Ordinal); // for programs
    }

    /// <summary>The program was started anew while somebody wrote: going back and loading the page again, which a new token takes, would empty the form.</summary>
    [Fact]
    public async Task What_was_typed_into_the_book_before_the_program_started_anew_is_shown_and_can_be_sent_again()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var answer = await TypedAsync(page, "/stations/sim-river/journal", "same-origin");
        Assert.Equal(HttpStatusCode.Forbidden, answer.StatusCode);
        var html = WebUtility.HtmlDecode(await answer.Content.ReadAsStringAsync(Stop));
        Assert.Contains("action=\"/stations/sim-river/journal\"", html, StringComparison.Ordinal);
        Assert.Contains("name=\"text\" value=\"<b>they hide\"", html, StringComparison.Ordinal);
        Assert.Single(Token().Matches(html));
        Assert.DoesNotContain("OLD", html, StringComparison.Ordinal);

        // Of elsewhere, or what confirms something that was shown: nothing can be sent again.
        foreach (var (path, site) in new[] { ("/stations/sim-river/journal", "cross-site"), ("/api/v1/stations/sim-river/open", "same-origin"), (Acknowledge, "same-origin") })
        {
            var refused = await TypedAsync(page, path, site);
            Assert.Equal(HttpStatusCode.Forbidden, refused.StatusCode);
            Assert.DoesNotContain("they hide", await refused.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task What_the_log_did_not_take_is_shown_and_can_be_sent_again()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var answer = await TypedAsync(page, "/stations/sim-river/journal", "same-origin", page.Token);
        Assert.Equal(HttpStatusCode.ServiceUnavailable, answer.StatusCode);
        var html = WebUtility.HtmlDecode(await answer.Content.ReadAsStringAsync(Stop));
        Assert.Contains("The log can not commit: its disk is full.", html, StringComparison.Ordinal);
        Assert.Contains("name=\"text\" value=\"<b>they hide\"", html, StringComparison.Ordinal);
    }

    /// <summary>The page came again without a word, and nobody knew whether it was written.</summary>
    [Theory]
    [InlineData("/stations/sim-river/journal")]
    [InlineData("/stations/sim-river/arrival")]
    public async Task Who_sends_a_form_of_the_book_twice_is_told_that_it_stands_there_already(string path)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        page.Client.DefaultRequestHeaders.Accept.ParseAdd("text/html");
        var sent = await page.PostFormAsync(path, ("kind", "observation"), ("species", "rice fish"), ("count", "6"), ("text", "sent twice"), ("by", "Ann"));
        Assert.Equal(HttpStatusCode.SeeOther, sent.StatusCode);
        Assert.Contains("It stands in the book already.", await page.Client.GetStringAsync(sent.Headers.Location, Stop), StringComparison.Ordinal);
    }

    private static async Task<HttpResponseMessage> TypedAsync(ServedPage page, string path, string site, string token = "OLD")
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, new Uri(path, UriKind.Relative))
        {
            Content = new FormUrlEncodedContent([new("kind", "observation"), new("text", "<b>they hide"), new("by", "Ann"), new("token", token)]),
        };
        request.Headers.Accept.ParseAdd("text/html");
        request.Headers.Add("Sec-Fetch-Site", site);
        return await page.Client.SendAsync(request, Stop);
    }

    [Fact]
    public async Task No_page_and_no_asset_names_an_address_of_elsewhere()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Alarm() with { CautionsShown = true });
        var names = typeof(Evenwater.Page.PageRoutes).Assembly.GetManifestResourceNames().Where(n => Path.GetExtension(n) is ".css" or ".js" or ".svg").Select(n => $"/assets/{n}").ToList();
        Assert.Contains("/assets/page.css", names);
        foreach (var path in names.Concat(["/", "/stations/sim-river?still=1", "/stations/nobody", "/sign-in"]))
        {
            using var request = new HttpRequestMessage(HttpMethod.Get, new Uri(path, UriKind.Relative));
            request.Headers.Accept.ParseAdd("text/html");
            var text = await (await page.Client.SendAsync(request, Stop)).Content.ReadAsStringAsync(Stop);
            Elsewhere.NotIn(text);
        }

        Assert.True(Elsewhere.IsIn("<img src=\"//elsewhere.example/x.png\">"));
        Assert.True(Elsewhere.IsIn("@import url(https://elsewhere.example/x.css);"));
    }

    private static async Task<HttpResponseMessage> AskAsync(ServedPage page, string how, string path)
    {
        using var request = new HttpRequestMessage(
            how switch { "LARGE" or "TEXT" or "TORN" => HttpMethod.Post, "OFTEN" or "HOST" => HttpMethod.Get, _ => new HttpMethod(how) },
            new Uri(path.Replace("LONG", new string('x', 5000), StringComparison.Ordinal), UriKind.Relative));
        request.Content = how switch
        {
            "LARGE" => new StringContent($"token={new string('x', 20_000)}", Encoding.UTF8, "application/x-www-form-urlencoded"),
            "TEXT" => new StringContent("x"),
            "TORN" => new ByteArrayContent("no boundary"u8.ToArray()),
            "DELETE" => new StringContent("{}", Encoding.UTF8, "application/json"),
            _ => null,
        };
        if (how == "TORN") request.Content!.Headers.TryAddWithoutValidation("Content-Type", "multipart/form-data; boundary=--x");
        if (how == "HOST") request.Headers.Host = $"rebound.example:{page.Address.Port}";
        return await page.Client.SendAsync(request, Stop);
    }

    [GeneratedRegex("name=\"token\" value=\"([^\"]+)\"")]
    private static partial Regex Token();
}
