using System.Net;
using System.Text.Json;
using Evenwater.Core.Estimation;

namespace Evenwater.Tests.Page;

public class PageGuardTests
{
    private static readonly Uri s_front = new("/", UriKind.Relative);
    private static readonly Uri s_close = new("/api/v1/stations/sim-river/close", UriKind.Relative);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("evil.example", 0)]
    [InlineData("127.0.0.1.evil.example", 0)]
    [InlineData("0.0.0.0", 0)]
    [InlineData("127.0.0.1", 1)]
    [InlineData("localhost", 1)]
    public async Task Another_host_name_or_port_is_turned_away(string host, int portOffset)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        foreach (var path in new[] { "/", "/page.css", "/healthz", "/nothing", "/api/v1/stations/sim-river" })
        {
            using var request = new HttpRequestMessage(HttpMethod.Get, new Uri(path, UriKind.Relative));
            request.Headers.Host = $"{host}:{page.Address.Port + portOffset}";
            Assert.Equal(HttpStatusCode.BadRequest, (await page.Client.SendAsync(request, Stop)).StatusCode);
        }
    }

    [Theory]
    [InlineData("127.0.0.1")]
    [InlineData("localhost")]
    [InlineData("LOCALHOST")]
    [InlineData("[::1]")]
    public async Task The_loopbacks_own_names_are_served(string host)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        using var request = new HttpRequestMessage(HttpMethod.Get, s_front);
        request.Headers.Host = $"{host}:{page.Address.Port}";
        Assert.Equal(HttpStatusCode.OK, (await page.Client.SendAsync(request, Stop)).StatusCode);
    }

    /// <summary>RFC 9110, 9.1: every server answers HEAD; 9.3.2: as it would GET, without content.</summary>
    [Theory]
    [InlineData("/", 200)]
    [InlineData("/healthz", 200)]
    [InlineData("/api/v1/stations/sim-river", 200)]
    [InlineData("/assets/page.css", 200)]
    [InlineData("/stations/nobody", 404)]
    [InlineData("/api/v1/stations/sim-river/close", 405)]
    [InlineData("/api/v1/stations/sim-river/live", 405)] // it has no end that could be waited for
    [InlineData("/api/v1/live", 405)]
    public async Task The_head_of_what_would_be_read_is_told_without_it(string path, int status)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        using var request = new HttpRequestMessage(HttpMethod.Head, new Uri(path, UriKind.Relative));
        var head = await page.Client.SendAsync(request, Stop);
        Assert.Equal(status, (int)head.StatusCode);
        Assert.Empty(await head.Content.ReadAsByteArrayAsync(Stop));
        Assert.Empty(page.Closed);
        if (status == 405) return;
        var whole = await page.Client.GetAsync(new Uri(path, UriKind.Relative), Stop);
        Assert.Equal((whole.StatusCode, whole.Content.Headers.ContentType), (head.StatusCode, head.Content.Headers.ContentType));
    }

    [Theory]
    [InlineData("pail.example", HttpStatusCode.OK)]
    [InlineData("PAIL.example", HttpStatusCode.OK)]
    [InlineData("localhost", HttpStatusCode.OK)] // it came in by the loopback
    [InlineData("www.pail.example", HttpStatusCode.BadRequest)]
    [InlineData("pail.example.evil.example", HttpStatusCode.BadRequest)]
    public async Task A_name_of_the_list_is_served_and_another_is_not_told_which(string host, HttpStatusCode expected)
    {
        await using var page = await ServedPage.StartAsync(new Evenwater.Page.Access.PageDoor { Port = 0, Hosts = ["pail.example"] }, null, MadeUp.Night(1));
        using var request = new HttpRequestMessage(HttpMethod.Get, s_front);
        request.Headers.Host = $"{host}:{page.Address.Port}";
        var answer = await page.Client.SendAsync(request, Stop);
        Assert.Equal(expected, answer.StatusCode);
        if (expected != HttpStatusCode.OK) Assert.DoesNotContain("pail", await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("/")]
    [InlineData("/stations/nobody")]
    [InlineData("/page.css")]
    [InlineData("/healthz")]
    [InlineData("/api/v1/stations/sim-river")]
    [InlineData("/nothing/here")]
    public async Task Every_answer_carries_the_strict_headers(string path)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var answer = await page.Client.GetAsync(new Uri(path, UriKind.Relative), Stop);
        Assert.Contains("camera=()", Assert.Single(answer.Headers.GetValues("Permissions-Policy")), StringComparison.Ordinal);
        Assert.Equal("same-origin", Assert.Single(answer.Headers.GetValues("Cross-Origin-Opener-Policy")));
        Assert.Equal("same-origin", Assert.Single(answer.Headers.GetValues("Cross-Origin-Resource-Policy")));
        Assert.Equal(
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
            Assert.Single(answer.Headers.GetValues("Content-Security-Policy")));
        Assert.Equal("nosniff", Assert.Single(answer.Headers.GetValues("X-Content-Type-Options")));
        Assert.Equal("no-referrer", Assert.Single(answer.Headers.GetValues("Referrer-Policy")));
        Assert.True(answer.Headers.CacheControl!.NoStore);
        Assert.False(answer.Headers.Contains("Server"));
    }

    [Theory]
    [InlineData("http://evil.example", null)]
    [InlineData("https://127.0.0.1:PORT", null)]
    [InlineData("http://127.0.0.1:1", null)]
    [InlineData("http://localhost:PORT", null)] // asked as 127.0.0.1
    [InlineData("null", null)]
    [InlineData("null", "cross-site")]
    [InlineData("http://127.0.0.1:PORT", "cross-site")]
    [InlineData(null, "same-site")]
    public async Task A_post_of_another_origin_closes_nothing(string? origin, string? site)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        Assert.Equal(HttpStatusCode.Forbidden, (await PostAsync(page, origin, site)).StatusCode);
        Assert.Empty(page.Closed);
    }

    [Theory]
    [InlineData("http://127.0.0.1:PORT", "same-origin")]
    [InlineData("http://127.0.0.1:PORT", null)]
    [InlineData("null", "same-origin")] // what a browser sends from a page with no-referrer
    [InlineData(null, null)] // no browser
    public async Task One_post_of_our_own_closes(string? origin, string? site)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        var answer = await PostAsync(page, origin, site);
        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
        Assert.Equal(["sim-river by page"], page.Closed);
        Assert.Contains("Closed.", await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Fetching_never_closes_and_an_unknown_station_is_a_problem()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        Assert.Equal(HttpStatusCode.MethodNotAllowed, (await page.Client.GetAsync(s_close, Stop)).StatusCode);
        var unknown = await page.Client.PostAsync(new Uri("/api/v1/stations/nobody/close", UriKind.Relative), null, Stop);
        Assert.Equal(HttpStatusCode.NotFound, unknown.StatusCode);
        Assert.Equal("application/problem+json", unknown.Content.Headers.ContentType!.MediaType);
        Assert.Empty(page.Closed);
    }

    /// <summary>"The form does not carry this page's token", to a program that asked what may be asked. RFC 9110, section 15.5.6, wants Allow beside it.</summary>
    [Theory]
    [InlineData("OPTIONS")]
    [InlineData("PUT")]
    public async Task A_method_that_nothing_here_is_asked_by_is_told_with_those_that_are(string method)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        using var request = new HttpRequestMessage(new HttpMethod(method), s_close);
        using var answer = await page.Client.SendAsync(request, Stop);
        Assert.Equal(HttpStatusCode.MethodNotAllowed, answer.StatusCode);
        Assert.Equal(["GET", "POST"], answer.Content.Headers.Allow);
        Assert.Contains($"{method} is not understood here.", await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        Assert.Empty(page.Closed);
    }

    [Fact]
    public async Task A_closing_that_fails_says_so_and_what_to_do()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1, "broken"));
        using var request = new HttpRequestMessage(HttpMethod.Post, new Uri("/api/v1/stations/broken/close", UriKind.Relative));
        request.Headers.Accept.ParseAdd("text/html");
        var answer = await page.Client.SendAsync(request, Stop);
        Assert.Equal(HttpStatusCode.InternalServerError, answer.StatusCode);
        Assert.Contains("could not close the valve. Pull", await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
    }

    /// <summary>RFC 9457: what is not done is no success to a program either. 503 and 500 as RFC 9110 has them, sections 15.6.4 and 15.6.1.</summary>
    [Theory]
    [InlineData("stuck", HttpStatusCode.ServiceUnavailable, "stuck has not answered for 5 s.")]
    [InlineData("broken", HttpStatusCode.InternalServerError, "The program could not close the valve. Pull the valve's plug or pinch the hose now.")]
    public async Task A_closing_that_was_not_done_is_a_problem_to_a_program(string station, HttpStatusCode status, string why)
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1, station));
        var answer = await page.Client.PostAsync(new Uri($"/api/v1/stations/{station}/close", UriKind.Relative), null, Stop);
        Assert.Equal((status, "application/problem+json"), (answer.StatusCode, answer.Content.Headers.ContentType!.MediaType));
        Assert.Equal(why, JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Stop)).RootElement.GetProperty("detail").GetString());
    }

    [Fact]
    public async Task The_interface_tells_what_the_page_tells()
    {
        var view = MadeUp.Night(5.2);
        await using var page = await ServedPage.StartAsync(view with { Forecast = view.Forecast!.Value with { BrimSeconds = Quantiles.Never } });
        var json = await page.Client.GetStringAsync(new Uri("/api/v1/stations/sim-river", UriKind.Relative), Stop);
        var root = JsonDocument.Parse(json).RootElement.GetProperty("view");
        Assert.Equal(view.Sentence, root.GetProperty("sentence").GetString());
        Assert.Equal("Steady", root.GetProperty("word").GetString());
        Assert.True(root.GetProperty("simulated").GetBoolean());
        Assert.Equal(view.History.Count, root.GetProperty("history").GetArrayLength());
        Assert.Equal(JsonValueKind.Null, root.GetProperty("forecast").GetProperty("brimSeconds").GetProperty("p50").ValueKind);
        Assert.Equal(view.Forecast.Value.MatchSeconds.P50, root.GetProperty("forecast").GetProperty("matchSeconds").GetProperty("p50").GetDouble());
        Assert.Equal("ok\n", await page.Client.GetStringAsync(new Uri("/healthz", UriKind.Relative), Stop));
    }

    [Fact]
    public async Task What_is_refused_is_kept_and_counted_and_told_on_the_page()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        Assert.DoesNotContain("Refused by the page", await page.Client.GetStringAsync(s_front, Stop), StringComparison.Ordinal);

        await PostAsync(page, "http://evil.example", null);
        using (var named = new HttpRequestMessage(HttpMethod.Get, s_front))
        {
            named.Headers.Host = "evil.example";
            await page.Client.SendAsync(named, Stop);
        }

        var shelve = new Uri("/api/v1/stations/sim-river/alarms/drip-slow/shelve", UriKind.Relative);
        using var large = new FormUrlEncodedContent([new("reason", new string('x', 20_000))]);
        Assert.Equal(HttpStatusCode.RequestEntityTooLarge, (await page.Client.PostAsync(shelve, large, Stop)).StatusCode);
        using var malformed = new ByteArrayContent("no boundary"u8.ToArray());
        malformed.Headers.TryAddWithoutValidation("Content-Type", "multipart/form-data; boundary=--x");
        Assert.Equal(HttpStatusCode.BadRequest, (await page.Client.PostAsync(shelve, malformed, Stop)).StatusCode);
        Assert.Equal(HttpStatusCode.NotFound, (await page.Client.PostAsync(new Uri("/api/v1/stations/nobody/close", UriKind.Relative), null, Stop)).StatusCode);

        Assert.Empty(page.Asked);
        Assert.Empty(page.Closed);
        Assert.Collection(
            page.Refused,
            line => Assert.StartsWith("Over the page: POST /api/v1/stations/sim-river/close: Asked by a page of another origin.", line, StringComparison.Ordinal),
            line => Assert.StartsWith("Over the page: GET /: This name is not served here.", line, StringComparison.Ordinal),
            line => Assert.StartsWith("Over the page: POST /api/v1/stations/sim-river/alarms/drip-slow/shelve: Not understood. Request body too large.", line, StringComparison.Ordinal),
            line => Assert.StartsWith("Over the page: POST /api/v1/stations/sim-river/alarms/drip-slow/shelve: Not understood. ", line, StringComparison.Ordinal),
            line => Assert.Equal("Over the page: POST /api/v1/stations/nobody/close: answered 404", line));
        Assert.Contains("Refused by the page since the start: 5, the last: POST /api/v1/stations/nobody/close", await page.Client.GetStringAsync(s_front, Stop), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_flood_of_refused_requests_is_counted_and_not_kept_one_by_one()
    {
        await using var page = await ServedPage.StartAsync(MadeUp.Night(1));
        for (var i = 0; i < 300; i++)
        {
            await PostAsync(page, "http://evil.example", null);
            page.Time.Pass(0.05);
        }

        Assert.InRange(page.Refused.Count, 2, 13); // ten at once, one more each 10 s, and that it is a flood
        Assert.Contains("too many refused requests", page.Refused[^1], StringComparison.Ordinal);
        Assert.Equal(300, page.Refusals.Count);
        page.Time.Pass(11);
        await PostAsync(page, "http://evil.example", null);
        Assert.Contains(page.Refused, line => line.Contains("the flood of refused requests is over", StringComparison.Ordinal));
    }

    private static async Task<HttpResponseMessage> PostAsync(ServedPage page, string? origin, string? site)
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, s_close);
        request.Headers.Accept.ParseAdd("text/html");
        if (origin is not null) request.Headers.Add("Origin", origin.Replace("PORT", $"{page.Address.Port}", StringComparison.Ordinal));
        if (site is not null) request.Headers.Add("Sec-Fetch-Site", site);
        return await page.Client.SendAsync(request, Stop);
    }
}
