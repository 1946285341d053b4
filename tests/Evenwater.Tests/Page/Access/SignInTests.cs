using System.Net;
using System.Net.Http.Json;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using System.Text;
using System.Text.RegularExpressions;
using Evenwater.Page.Access;
using Evenwater.Page.SignIn;

namespace Evenwater.Tests.Page.Access;

/// <summary>A page with a password, behind a real server: what is open, how one gets in, stays in and out.</summary>
public partial class SignInTests
{
    private const string Password = "pail snail drip night";
    private static readonly string s_token = new('t', 40);

    // A cheap hash: what its cost is for is tested elsewhere.
    private static readonly PageDoor s_door = new() { Port = 0, Password = Hash(), MetricsToken = s_token };

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("/")]
    [InlineData("/stations/sim-river")]
    [InlineData("/api/v1/stations/sim-river")]
    [InlineData("/metrics")]
    [InlineData("/nothing/here")]
    [InlineData("/sign-out")]
    [InlineData("/assets")]
    [InlineData("/healthz/")]
    [InlineData("//healthz")]
    public async Task Nothing_of_a_station_is_told_before_signing_in(string path)
    {
        await using var page = await StartAsync();
        foreach (var (accept, status) in new[] { ("text/html", HttpStatusCode.Found), ("application/json", HttpStatusCode.Unauthorized) })
        {
            var answer = await SendAsync(page, HttpMethod.Get, path, accept);
            // An empty segment is another address, which is open and leads nowhere.
            Assert.True(answer.StatusCode == status || (path is "/assets" or "/healthz/" or "//healthz" && answer.StatusCode is HttpStatusCode.NotFound or HttpStatusCode.OK), $"{path}: {answer.StatusCode}");
            Assert.DoesNotContain("sim-river", await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
            if (answer.StatusCode == HttpStatusCode.Found) Assert.StartsWith("/sign-in?to=%2F", answer.Headers.Location!.ToString(), StringComparison.Ordinal);
            if (answer.StatusCode == HttpStatusCode.Unauthorized) Assert.Single(answer.Headers.WwwAuthenticate);
        }
    }

    [Fact]
    public async Task Whether_it_runs_and_the_sign_in_page_with_its_style_are_open_and_name_no_station()
    {
        await using var page = await StartAsync();
        Assert.Equal("ok\n", await page.Client.GetStringAsync(new Uri("/healthz", UriKind.Relative), Stop));
        var html = await page.Client.GetStringAsync(new Uri("/sign-in", UriKind.Relative), Stop);
        Assert.Contains("autocomplete=\"current-password\"", html, StringComparison.Ordinal);
        Assert.DoesNotContain("sim-river", html, StringComparison.Ordinal);
        foreach (Match asset in Named().Matches(html))
        {
            Assert.Equal(HttpStatusCode.OK, (await page.Client.GetAsync(new Uri(asset.Groups[1].Value, UriKind.Relative), Stop)).StatusCode);
        }
    }

    [Fact]
    public async Task No_change_is_made_without_a_session_not_even_a_closing()
    {
        await using var page = await StartAsync();
        foreach (var path in new[] { "/api/v1/stations/sim-river/close", "/api/v1/stations/sim-river/cautions/dismiss", "/api/v1/stations/sim-river/alarms/leak/acknowledge" })
        {
            using var json = JsonContent.Create(new { });
            Assert.Equal(HttpStatusCode.Unauthorized, (await page.Client.PostAsync(new Uri(path, UriKind.Relative), json, Stop)).StatusCode);
            Assert.Equal(HttpStatusCode.Unauthorized, (await page.PostFormAsync(path)).StatusCode);
        }

        Assert.Empty(page.Closed);
        Assert.Empty(page.Asked);
        Assert.Empty(page.Dismissed);
    }

    [Fact]
    public async Task The_password_opens_the_page_that_was_asked_for_until_one_signs_out()
    {
        await using var page = await StartAsync();
        var entered = await EnterAsync(page, Password, "/stations/sim-river?still=1");
        Assert.Equal((HttpStatusCode.SeeOther, "/stations/sim-river?still=1"), (entered.StatusCode, entered.Headers.Location!.ToString()));
        var set = Assert.Single(entered.Headers.GetValues("Set-Cookie"));
        Assert.Matches($"^evenwater-{page.Address.Port}=[A-Za-z0-9_-]{{43}}; max-age=604800; path=/; samesite=strict; httponly$", set);
        var cookie = set.Split(';')[0];

        var html = await (await SendAsync(page, HttpMethod.Get, "/stations/sim-river", "text/html", cookie)).Content.ReadAsStringAsync(Stop);
        Assert.Contains("Sign out", html, StringComparison.Ordinal);
        var token = Token().Match(html).Groups[1].Value;

        // The token of the session, not the one from before signing in.
        Assert.Equal(HttpStatusCode.Forbidden, (await SendAsync(page, HttpMethod.Post, "/api/v1/stations/sim-river/alarms/leak/acknowledge", "text/html", cookie, page.Token)).StatusCode);
        Assert.Empty(page.Asked);
        Assert.Equal(HttpStatusCode.OK, (await SendAsync(page, HttpMethod.Post, "/api/v1/stations/sim-river/alarms/leak/acknowledge", "text/html", cookie, token)).StatusCode);
        Assert.Single(page.Asked);
        Assert.Equal(HttpStatusCode.OK, (await SendAsync(page, HttpMethod.Post, "/api/v1/stations/sim-river/close", "text/html", cookie)).StatusCode);
        Assert.Single(page.Closed);

        using var follows = new HttpRequestMessage(HttpMethod.Get, new Uri("/api/v1/stations/sim-river/live", UriKind.Relative));
        follows.Headers.Add("Cookie", cookie);
        using var followed = await page.Client.SendAsync(follows, HttpCompletionOption.ResponseHeadersRead, Stop);
        using var live = new StreamReader(await followed.Content.ReadAsStreamAsync(Stop));
        Assert.StartsWith("data: {", await live.ReadLineAsync(Stop), StringComparison.Ordinal);

        Assert.Equal(HttpStatusCode.Forbidden, (await SendAsync(page, HttpMethod.Post, "/sign-out", "text/html", cookie)).StatusCode);
        var left = await SendAsync(page, HttpMethod.Post, "/sign-out", "text/html", cookie, token);
        Assert.Equal((HttpStatusCode.SeeOther, "/sign-in"), (left.StatusCode, left.Headers.Location!.ToString()));
        Assert.Contains("max-age=0", Assert.Single(left.Headers.GetValues("Set-Cookie")), StringComparison.Ordinal);
        using var patience = new CancellationTokenSource(3000);
        while (await live.ReadLineAsync(patience.Token) is not null)
        {
            // What was followed ends with the session, within two events' time.
        }

        Assert.Equal(HttpStatusCode.Unauthorized, (await SendAsync(page, HttpMethod.Get, "/api/v1/stations/sim-river", "application/json", cookie)).StatusCode);
    }

    [Fact]
    public async Task What_was_typed_into_the_book_when_the_session_was_over_can_be_sent_after_signing_in()
    {
        await using var page = await StartAsync();
        var asked = await TypedAsync("same-origin");
        Assert.Equal(HttpStatusCode.Unauthorized, asked.StatusCode);
        var html = await asked.Content.ReadAsStringAsync(Stop);
        Assert.Contains("What you typed is kept", html, StringComparison.Ordinal);
        var kept = Hidden().Matches(html).Select(m => KeyValuePair.Create(WebUtility.HtmlDecode(m.Groups[1].Value), WebUtility.HtmlDecode(m.Groups[2].Value))).ToList();

        // A wrong password loses nothing either.
        html = await (await PostAsync([.. kept, new("password", "not it")])).Content.ReadAsStringAsync(Stop);
        Assert.Contains("That is not the password", html, StringComparison.Ordinal);
        kept = [.. Hidden().Matches(html).Select(m => KeyValuePair.Create(WebUtility.HtmlDecode(m.Groups[1].Value), WebUtility.HtmlDecode(m.Groups[2].Value)))];

        // Nor a form from before the program started anew, nor one of a page that stood open while its person signed in on another.
        List<KeyValuePair<string, string>> old = [.. kept.Select(field => field.Key == "token" ? new("token", "AAAA") : field), new("password", Password)];
        var before = await PostAsync(old);
        html = await before.Content.ReadAsStringAsync(Stop);
        Assert.Equal(HttpStatusCode.Forbidden, before.StatusCode);
        Assert.Contains("from before the program started anew. Give the password again.", html, StringComparison.Ordinal);
        Assert.Contains("name=\"again-text\" value=\"they hide\"", html, StringComparison.Ordinal);
        Assert.Contains("autocomplete=\"current-password\"", html, StringComparison.Ordinal);
        var session = await CookieAsync(page);
        var twice = await PostAsync(old, session);
        Assert.Equal(HttpStatusCode.OK, twice.StatusCode);
        Assert.False(twice.Headers.Contains("Set-Cookie"));
        Assert.Contains("name=\"text\" value=\"they hide\"", await twice.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        twice = await PostAsync([new("to", "/stations/sim-river/journal"), new("token", page.Token), new("password", "whatever")], session);
        Assert.Equal((HttpStatusCode.SeeOther, "/stations/sim-river/journal"), (twice.StatusCode, twice.Headers.Location!.ToString()));

        var entered = await PostAsync([.. kept, new("password", Password)]);
        Assert.Equal(HttpStatusCode.OK, entered.StatusCode);
        var cookie = entered.Headers.GetValues("Set-Cookie").Single().Split(';')[0];
        html = await entered.Content.ReadAsStringAsync(Stop);
        Assert.Contains("action=\"/stations/sim-river/journal\"", html, StringComparison.Ordinal);
        Assert.Contains("name=\"text\" value=\"they hide\"", html, StringComparison.Ordinal);
        // Its token is the new session's: the form is let through to where the book would be.
        Assert.Equal(HttpStatusCode.OK, (await SendAsync(page, HttpMethod.Post, "/api/v1/stations/sim-river/alarms/leak/acknowledge", "text/html", cookie, Token().Matches(html)[0].Groups[1].Value)).StatusCode);

        Assert.DoesNotContain("they hide", await (await TypedAsync("cross-site")).Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        var elsewhere = await PostAsync([.. kept.Where(field => field.Key != "again"), new("again", "/api/v1/stations/sim-river/open"), new("password", Password)]);
        Assert.Equal(HttpStatusCode.SeeOther, elsewhere.StatusCode);

        async Task<HttpResponseMessage> TypedAsync(string site)
        {
            using var request = new HttpRequestMessage(HttpMethod.Post, new Uri("/stations/sim-river/journal", UriKind.Relative))
            {
                Content = new FormUrlEncodedContent([new("kind", "observation"), new("text", "they hide"), new("token", "old")]),
            };
            request.Headers.Accept.ParseAdd("text/html");
            request.Headers.Add("Sec-Fetch-Site", site);
            return await page.Client.SendAsync(request, Stop);
        }

        async Task<HttpResponseMessage> PostAsync(IEnumerable<KeyValuePair<string, string>> fields, string? cookie = null)
        {
            using var request = new HttpRequestMessage(HttpMethod.Post, new Uri("/sign-in", UriKind.Relative)) { Content = new FormUrlEncodedContent(fields) };
            request.Headers.Accept.ParseAdd("text/html");
            if (cookie is not null) request.Headers.Add("Cookie", cookie);
            return await page.Client.SendAsync(request, Stop);
        }
    }

    [Fact]
    public async Task What_was_shown_to_one_who_is_signed_in_can_not_be_confirmed_by_another()
    {
        await using var page = await StartAsync();
        var (one, other) = (await CookieAsync(page), await CookieAsync(page));
        foreach (var (cookie, status) in new[] { (other, HttpStatusCode.Conflict), (one, HttpStatusCode.OK) })
        {
            var asked = await (await PostAsync("challenge", one, "{\"verb\":\"open\"}")).Content.ReadAsStringAsync(Stop);
            Assert.Equal(status, (await PostAsync("open", cookie, asked)).StatusCode);
        }

        Assert.Single(page.Confirmed);

        async Task<HttpResponseMessage> PostAsync(string verb, string cookie, string json)
        {
            using var request = new HttpRequestMessage(HttpMethod.Post, new Uri($"/api/v1/stations/sim-river/{verb}", UriKind.Relative)) { Content = new StringContent(json, Encoding.UTF8, "application/json") };
            request.Headers.Add("Cookie", cookie);
            return await page.Client.SendAsync(request, Stop);
        }
    }

    [Fact]
    public async Task A_session_ends_by_itself()
    {
        await using var page = await StartAsync();
        var cookie = await CookieAsync(page);
        page.Time.Pass(23 * 3600);
        Assert.Equal(HttpStatusCode.OK, (await SendAsync(page, HttpMethod.Get, "/", "text/html", cookie)).StatusCode);
        page.Time.Pass(24 * 3600);
        Assert.Equal(HttpStatusCode.Found, (await SendAsync(page, HttpMethod.Get, "/", "text/html", cookie)).StatusCode);
    }

    [Fact]
    public async Task Who_guesses_waits_and_is_told_to_the_log_and_the_password_never()
    {
        await using var page = await StartAsync();
        for (var i = 0; i < 5; i++)
        {
            var wrong = await EnterAsync(page, $"guess number {i}");
            Assert.Equal(HttpStatusCode.Unauthorized, wrong.StatusCode);
            Assert.Contains("That is not the password", await wrong.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
            Assert.False(wrong.Headers.Contains("Set-Cookie"));
        }

        var later = await EnterAsync(page, Password);
        Assert.Equal((HttpStatusCode.TooManyRequests, "60"), (later.StatusCode, later.Headers.RetryAfter!.ToString()));
        Assert.False(later.Headers.Contains("Set-Cookie"));
        Assert.Equal([.. Enumerable.Repeat("Over the page: POST /sign-in: a wrong password, from 127.0.0.1", 5), "Over the page: POST /sign-in: answered 429"], page.Refused); // each once
        Assert.All(page.Refused, line => Assert.DoesNotContain("guess", line, StringComparison.Ordinal));
        page.Time.Pass(60);
        Assert.Equal(HttpStatusCode.SeeOther, (await EnterAsync(page, Password)).StatusCode);
    }

    [Fact]
    public async Task A_program_signs_in_by_json_and_a_form_of_no_page_of_ours_does_not()
    {
        await using var page = await StartAsync();
        using var right = JsonContent.Create(new { password = Password });
        var entered = await page.Client.PostAsync(new Uri("/sign-in", UriKind.Relative), right, Stop);
        Assert.Equal(HttpStatusCode.OK, entered.StatusCode);
        Assert.Single(entered.Headers.GetValues("Set-Cookie"));
        foreach (var json in new[] { "{}", "[]", "\"x\"", "{\"password\":7}", "{\"password\":\"\\ud800\"}", "{", "" }) // a lone surrogate is grammatical, and no text (RFC 8259, section 8.2)
        {
            using var content = new StringContent(json, Encoding.UTF8, "application/json");
            var refused = await page.Client.PostAsync(new Uri("/sign-in", UriKind.Relative), content, Stop);
            Assert.Equal("application/problem+json", refused.Content.Headers.ContentType!.MediaType);
            Assert.Equal(HttpStatusCode.Unauthorized, refused.StatusCode);
            page.Time.Pass(61);
        }

        using var form = new FormUrlEncodedContent([new("password", Password)]);
        Assert.Equal(HttpStatusCode.Forbidden, (await page.Client.PostAsync(new Uri("/sign-in", UriKind.Relative), form, Stop)).StatusCode);
    }

    [Fact]
    public async Task A_collector_with_its_token_reads_the_metrics_and_nothing_else()
    {
        await using var page = await StartAsync();
        Assert.Equal(HttpStatusCode.OK, (await BearerAsync("/metrics", s_token)).StatusCode);
        Assert.Equal(HttpStatusCode.Unauthorized, (await BearerAsync("/metrics", s_token[..^1])).StatusCode);
        Assert.Equal(HttpStatusCode.Unauthorized, (await BearerAsync("/api/v1/stations/sim-river", s_token)).StatusCode);

        async Task<HttpResponseMessage> BearerAsync(string path, string token)
        {
            using var request = new HttpRequestMessage(HttpMethod.Get, new Uri(path, UriKind.Relative));
            request.Headers.Authorization = new("Bearer", token);
            return await page.Client.SendAsync(request, Stop);
        }
    }

    [Theory]
    [InlineData("/stations/sim-river", "/stations/sim-river")]
    [InlineData("/", "/")]
    [InlineData("//elsewhere.example", "/")]
    [InlineData("/\\elsewhere.example", "/")]
    [InlineData("/\t/elsewhere.example", "/")]
    [InlineData("https://elsewhere.example", "/")]
    [InlineData("stations", "/")]
    [InlineData("", "/")]
    [InlineData(null, "/")]
    [InlineData("/a\r\nSet-Cookie: x=y", "/")]
    [InlineData("/sign-in?to=/", "/")]
    public void One_is_led_on_within_this_page_alone(string? asked, string led) => Assert.Equal(led, SignInRoutes.Own(asked));

    [Fact]
    public async Task Under_TLS_the_cookie_is_secure_and_bound_to_the_host()
    {
        using var key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
        using var certificate = new CertificateRequest("CN=localhost", key, HashAlgorithmName.SHA256).CreateSelfSigned(DateTimeOffset.UnixEpoch, DateTimeOffset.UnixEpoch.AddYears(100));
        await using var page = await ServedPage.StartAsync(s_door with { Certificate = certificate }, null, MadeUp.Night(1));
        using var client = new HttpClient(new SocketsHttpHandler
        {
            UseCookies = false, SslOptions = { RemoteCertificateValidationCallback = (_, shown, _, _) => shown!.GetCertHashString() == certificate.GetCertHashString() },
        })
        { BaseAddress = page.Address };
        using var right = JsonContent.Create(new { password = Password });
        var entered = await client.PostAsync(new Uri("/sign-in", UriKind.Relative), right, Stop);
        Assert.Matches($"^__Host-evenwater-{page.Address.Port}=[A-Za-z0-9_-]{{43}}; max-age=604800; path=/; secure; samesite=strict; httponly$", Assert.Single(entered.Headers.GetValues("Set-Cookie")));
        Assert.StartsWith("https://", page.Address.ToString(), StringComparison.Ordinal);

        // Asked for the second protocol, it agrees to the first (ALPN, RFC 7301).
        using var asked = new HttpRequestMessage(HttpMethod.Get, new Uri("/healthz", UriKind.Relative)) { Version = HttpVersion.Version20, VersionPolicy = HttpVersionPolicy.RequestVersionOrLower };
        using var answered = await client.SendAsync(asked, Stop);
        Assert.Equal(HttpVersion.Version11, answered.Version);
    }

    private static Task<ServedPage> StartAsync() => ServedPage.StartAsync(s_door, new ClientPace(new UnhurriedTime()), MadeUp.Night(1));

    private static PasswordHash Hash()
    {
        var salt = new byte[16];
        return new PasswordHash(1, salt, Rfc2898DeriveBytes.Pbkdf2(Encoding.UTF8.GetBytes(Password), salt, 1, HashAlgorithmName.SHA256, 32));
    }

    private static async Task<HttpResponseMessage> EnterAsync(ServedPage page, string password, string to = "/")
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, new Uri("/sign-in", UriKind.Relative))
        {
            Content = new FormUrlEncodedContent([new("password", password), new("to", to), new("token", page.Token)]),
        };
        request.Headers.Accept.ParseAdd("text/html");
        return await page.Client.SendAsync(request, Stop);
    }

    private static async Task<string> CookieAsync(ServedPage page) => (await EnterAsync(page, Password)).Headers.GetValues("Set-Cookie").Single().Split(';')[0];

    private static async Task<HttpResponseMessage> SendAsync(ServedPage page, HttpMethod method, string path, string accept, string? cookie = null, string? token = null)
    {
        using var request = new HttpRequestMessage(method, new Uri(page.Address, path.StartsWith("//", StringComparison.Ordinal) ? "/." + path : path));
        request.Headers.Accept.ParseAdd(accept);
        if (cookie is not null) request.Headers.Add("Cookie", cookie);
        if (token is not null) request.Headers.Add("X-Evenwater-Token", token);
        return await page.Client.SendAsync(request, Stop);
    }

    [GeneratedRegex("(?:href|src)=\"(/assets/[^\"]+)\"")]
    private static partial Regex Named();

    [GeneratedRegex("<input type=\"hidden\" name=\"([^\"]+)\" value=\"([^\"]*)\"")]
    private static partial Regex Hidden();

    [GeneratedRegex("name=\"token\" value=\"([^\"]+)\"")]
    private static partial Regex Token();
}
