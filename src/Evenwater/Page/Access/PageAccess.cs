namespace Evenwater.Page.Access;

/// <summary>Who is let in: the sessions, the password and its pace, and what forms prove themselves by.</summary>
/// <param name="door">What was configured.</param>
/// <param name="time">Its timestamps alone are used.</param>
internal sealed class PageAccess(PageDoor door, TimeProvider time) : IDisposable
{
    /// <summary>The sign-in page.</summary>
    public const string SignIn = "/sign-in";

    /// <summary>RFC 9110, section 15.5.2, wants a challenge beside 401. A scheme of our own: a browser that does not know it asks nobody anything.</summary>
    public const string Challenge = $"Session page=\"{SignIn}\"";

    private readonly PageToken _own = new();

    public Sessions Sessions { get; } = new(time);

    public SignInPace Pace { get; } = new(time);

    public PasswordDesk? Desk { get; } = door.Password is { } hash ? new PasswordDesk(hash.IsOf) : null;

    /// <summary>Looks for a session, and keeps it for <see cref="SessionOf"/>.</summary>
    /// <returns>Whether the request may go on.</returns>
    public bool LetsIn(HttpContext http)
    {
        if (Desk is null)
        {
            return true;
        }

        var session = Sessions.Find(http.Request.Cookies[CookieName(http)]);
        http.Features.Set(session);
        return session is not null || IsOpen(http.Request);
    }

    /// <summary>Whether who asks may see more than the sign-in page.</summary>
    public bool Knows(HttpContext http) => Desk is null || SessionOf(http) is not null;

    /// <summary>Who asks; null where nobody is signed in.</summary>
    public static Session? SessionOf(HttpContext http) => http.Features.Get<Session>();

    /// <summary>What the forms of this visit prove themselves by.</summary>
    public PageToken TokenOf(HttpContext http) => SessionOf(http)?.Token ?? _own;

    /// <summary>Begins a session, and gives its cookie to the browser.</summary>
    public void Begin(HttpContext http)
    {
        var (session, cookie) = Sessions.Begin();
        http.Features.Set<Session?>(session);
        http.Response.Cookies.Append(CookieName(http), cookie, Cookie(http, TimeSpan.FromHours(Sessions.LongestHours)));
    }

    /// <summary>Ends the session, and takes its cookie back.</summary>
    public void End(HttpContext http)
    {
        if (SessionOf(http) is { } session)
        {
            Sessions.End(session);
        }

        http.Features.Set<Session?>(null);
        http.Response.Cookies.Append(CookieName(http), "", Cookie(http, TimeSpan.Zero));
    }

    public void Dispose() => Desk?.Dispose();

    // Cookies are the same for all ports of a host: two daemons on one computer keep theirs apart. The prefix binds it to this host and to TLS
    // (draft-ietf-httpbis-rfc6265bis, "The __Host- Prefix").
    private static string CookieName(HttpContext http) => $"{(http.Request.IsHttps ? "__Host-" : "")}evenwater-{http.Connection.LocalPort}";

    private static CookieOptions Cookie(HttpContext http, TimeSpan age) => new()
    {
        HttpOnly = true, SameSite = SameSiteMode.Strict, Path = "/", Secure = http.Request.IsHttps, MaxAge = age,
    };

    // Whether it runs, the sign-in page, and what that is drawn with: the same in every copy of this program.
    private bool IsOpen(HttpRequest request) =>
        request.Path == "/healthz" || request.Path == SignIn || request.Path == "/icon.svg" || request.Path.StartsWithSegments("/assets", StringComparison.Ordinal)
        || (request.Path == "/metrics" && door.MetricsToken is { } token && MetricsToken.IsIn(request.Headers.Authorization.ToString(), token));
}
