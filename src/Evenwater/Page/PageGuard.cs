using Evenwater.Page.Access;
using Evenwater.Page.Frame;
using Evenwater.Page.Journal;
using Evenwater.Page.SignIn;

namespace Evenwater.Page;

/// <summary>
/// What every request passes: strict headers, only our own names as Host, not too often, signed in where a password is set, and no change of state that is asked for by
/// another origin or by no page of ours. What is refused, here or further on, is counted and answered as a problem.
/// </summary>
internal sealed class PageGuard(PageDoor door, PageAccess access, ClientPace pace, PageRefusals refusals, ILogger<PageGuard> log)
{
    private const string Policy =
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

    private const string NotAsNow = "Not from a page as it is now";

    // Nothing of a browser's devices is asked for. Names of the W3C's registry of policy-controlled features.
    private const string Permissions =
        "accelerometer=(), camera=(), display-capture=(), fullscreen=(), geolocation=(), gyroscope=(), magnetometer=(), microphone=(), midi=(), payment=(), publickey-credentials-get=(), serial=(), usb=()";

    /// <summary>Lets it through, or refuses it.</summary>
    public async Task Check(HttpContext http, Func<Task> next)
    {
        SetHeaders(http);
        if (!PageHost.IsOurs(http, door.Hosts))
        {
            await Refuse(http, StatusCodes.Status400BadRequest, "This name is not served here",
                // Not which: a page that has rebound its name could read it.
                $"Use {(door.Hosts.Count == 0 ? "127.0.0.1 or localhost" : "a name of page.hosts")}, with the page's port.");
        }
        else if (http.Request.Path.Value!.Length + http.Request.QueryString.Value!.Length > PageListening.AddressBytes)
        {
            await Refuse(http, StatusCodes.Status414UriTooLong, "Address too long", $"Allowed: {PageListening.AddressBytes} bytes.");
        }
        else if (!Hears(http))
        {
            http.Response.Headers.RetryAfter = "1";
            await Refuse(http, StatusCodes.Status429TooManyRequests, "Asked too often", $"Allowed: {ClientPace.PerSecond:0} requests a second, {ClientPace.Burst:0} at once. Ask again in a second; a valve is closed all the same.");
        }
        else if (!access.LetsIn(http))
        {
            await SendToSignIn(http);
        }
        else
        {
            await Answer(http, next);
        }
    }

    private static void SetHeaders(HttpContext http)
    {
        var headers = http.Response.Headers;
        headers.ContentSecurityPolicy = Policy;
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "no-referrer";
        headers["Permissions-Policy"] = Permissions;
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers.CacheControl = "no-store";
    }

    private bool Hears(HttpContext http)
    {
        var client = Client.Of(http.Connection.RemoteIpAddress);
        return pace.Hears(
            PageOrigin.IsClosing(http.Request) ? $"{client} closing" : client,
            IsPartOfAPage(http.Request.Path) ? ClientPace.Asset : 1);
    }

    /// <summary>What a browser fetches many of for one page: what it is made with, and the photographs of a page of the journal.</summary>
    private static bool IsPartOfAPage(PathString path) =>
        path.StartsWithSegments("/assets", StringComparison.Ordinal) || (path.StartsWithSegments("/stations", out var rest) && rest.Value!.Contains("/photographs/", StringComparison.Ordinal) && rest.Value.EndsWith(".jpg", StringComparison.Ordinal));

    /// <summary>A browser that reads is led to the sign-in page, and back from there; all else is told.</summary>
    private async Task SendToSignIn(HttpContext http)
    {
        if (IsRead(http.Request.Method) && PageRender.WantsPage(http))
        {
            http.Response.Redirect($"{PageAccess.SignIn}?to={Uri.EscapeDataString(http.Request.Path + http.Request.QueryString)}");
            return;
        }

        http.Response.Headers.WWWAuthenticate = http.Request.Path == "/metrics" ? "Bearer" : PageAccess.Challenge;
        const string Detail = "Nothing was done. Sign in and ask again. A valve can be closed by its plug at any time.";
        if (!PageRender.WantsPage(http))
        {
            await Refuse(http, StatusCodes.Status401Unauthorized, "Not signed in", Detail);
            return;
        }

        refusals.Add(http, "Not signed in");
        var again = await TypedAgain.Of(http, PageListening.BodyBytes);
        await (await SignInRoutes.Show(http, StatusCodes.Status401Unauthorized, "/", again is null ? Detail : "Nothing was done yet: you are not signed in any more. What you typed is kept: sign in, and send it again.", again)).ExecuteAsync(http);
    }

    private async Task Answer(HttpContext http, Func<Task> next)
    {
        var reads = IsRead(http.Request.Method);
        try
        {
            if (!reads && await Unproven(http) is { } refusal)
            {
                if (refusal.Title == NotAsNow && await TypedAgain.Of(http) is { } again) await KeepTyped(http, again);
                else if (refusal.Title == NotAsNow && SignInRoutes.IsForm(http)) await (await SignInRoutes.Again(http)).ExecuteAsync(http);
                else await Refuse(http, refusal.Status, refusal.Title, refusal.Detail);
                return;
            }

            await next();
            if (!reads && http.Response.StatusCode is >= 400 and < 500) refusals.Add(http, $"answered {http.Response.StatusCode}");
            await PageRefused.Complete(http);
        }
        catch (Exception e) when (e is IOException or InvalidDataException && !reads && !http.Response.HasStarted)
        {
            await Refuse(http, (e as BadHttpRequestException)?.StatusCode ?? StatusCodes.Status400BadRequest, "Not understood", e.Message);
        }
        catch (Exception e) when (e is not OperationCanceledException && !http.Response.HasStarted)
        {
            log.LogError(e, "{Method} {Path} failed", Plain.Line(http.Request.Method), Plain.Line(http.Request.Path));
            http.Response.Headers.Remove("Refresh");
            await PageRefused.Tell(http, StatusCodes.Status500InternalServerError, "The program could not answer", "It has written down why. The stations are watched all the same.");
        }
    }

    private async Task<(int Status, string Title, string Detail)?> Unproven(HttpContext http)
    {
        if (!HttpMethods.IsPost(http.Request.Method))
        {
            http.Response.Headers.Allow = "GET, POST";
            return (StatusCodes.Status405MethodNotAllowed, "Not in this way", $"{Plain.Line(http.Request.Method)} is not understood here. Allowed: GET, and POST for a change.");
        }

        if (!PageOrigin.IsOwn(http.Request))
        {
            return (StatusCodes.Status403Forbidden, "Asked by a page of another origin", "Only this page itself may ask for a change.");
        }

        if (!PageOrigin.IsKnownKind(http.Request))
        {
            return (StatusCodes.Status415UnsupportedMediaType, "Not a kind that is understood", "Allowed: application/json, or a form's own kinds.");
        }

        await TooLargePhotograph.ReadAsync(http);
        return await PageOrigin.IsProven(http.Request, access.TokenOf(http)) ? null : (StatusCodes.Status403Forbidden, NotAsNow,
            "Nothing was done: the form does not carry this page's token. It may be from before the program started anew or you signed in. Go back, load the page again, and send it again. "
            + "A program sends application/json and no Origin.");
    }

    private async Task KeepTyped(HttpContext http, TypedAgain again)
    {
        refusals.Add(http, $"{NotAsNow}. What was typed was shown again.");
        await (await PageRefused.Again(
            http, StatusCodes.Status403Forbidden, NotAsNow, "Nothing was done yet: the program was started anew, or you signed in, after this form was shown. Look at what you typed, and send it again.", again)).ExecuteAsync(http);
    }

    private static bool IsRead(string method) => HttpMethods.IsGet(method) || HttpMethods.IsHead(method);

    private Task Refuse(HttpContext http, int status, string title, string detail)
    {
        refusals.Add(http, $"{title}. {detail}");
        return PageRefused.Tell(http, status, title, detail);
    }
}
