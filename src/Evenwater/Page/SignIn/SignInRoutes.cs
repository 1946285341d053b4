using System.Globalization;
using System.Text.Json;
using Evenwater.Page.Access;
using Evenwater.Page.Frame;

namespace Evenwater.Page.SignIn;

/// <summary>Signing in and out, for a person by a form, for a program by JSON. Failures are told to the log, with the client and without the password.</summary>
internal static class SignInRoutes
{
    public const string SignOut = "/sign-out";

    public static void Map(WebApplication app)
    {
        app.MapGet(PageAccess.SignIn, (HttpContext http, PageAccess access) => access.Desk is null || PageAccess.SessionOf(http) is not null
            ? Task.FromResult(Results.Redirect(Own(http.Request.Query["to"])))
            : Show(http, StatusCodes.Status200OK, Own(http.Request.Query["to"]), null));
        app.MapPost(PageAccess.SignIn, Enter);
        app.MapPost(SignOut, (HttpContext http, PageAccess access) =>
        {
            access.End(http);
            return PageRender.WantsPage(http) ? SeeOther(http, PageAccess.SignIn) : Results.Json(new Answer("", "Signed out."), StationJson.Default.Answer);
        });
    }

    /// <summary>The page that asks for the password.</summary>
    public static Task<IResult> Show(HttpContext http, int status, string to, string? sentence, TypedAgain? again = null) => PageRender.Show<SignInPage>(
        http, status, (nameof(SignInPage.Visit), PageVisit.Of(http)), (nameof(SignInPage.To), to), (nameof(SignInPage.Sentence), sentence),
        (nameof(SignInPage.Encrypted), http.Request.IsHttps), (nameof(SignInPage.Again), again));

    /// <summary>Whether a person sends the sign-in page's form.</summary>
    public static bool IsForm(HttpContext http) => http.Request.Path == PageAccess.SignIn && http.Request.HasFormContentType && PageRender.WantsPage(http);

    /// <summary>Such a form from before the program started anew, or from before its person signed in on another page: it changes nothing, and loses nothing of what it carries.</summary>
    public static async Task<IResult> Again(HttpContext http)
    {
        var (_, to, again) = await Read(http);
        return PageAccess.SessionOf(http) is null ? await Show(http, StatusCodes.Status403Forbidden, to, "Nothing was done: this page was from before the program started anew. Give the password again.", again)
            : again is null ? SeeOther(http, to) : await SendAgain(http, again);
    }

    /// <summary>A path of this page, or its front: never an address of elsewhere, which "//" and "/\" would be to a browser.</summary>
    public static string Own(string? to) =>
        to is ['/', ..] and not ['/', '/' or '\\', ..] && to.All(c => c is > ' ' and < '\x7f' and not '\\') && !to.StartsWith(PageAccess.SignIn, StringComparison.Ordinal) ? to : "/";

    private static async Task<IResult> Enter(HttpContext http, PageAccess access, PageRefusals refusals)
    {
        var (password, to, again) = await Read(http);
        if (access.Desk is not { } desk)
        {
            return await Say(http, StatusCodes.Status409Conflict, to, again, "No password is set here: nobody needs to sign in.");
        }

        var client = Client.Of(http.Connection.RemoteIpAddress);
        if (!access.Pace.May(client, out var wait))
        {
            return await Later(http, wait, to, again, $"Too many wrong passwords. Try again in {Math.Ceiling(wait / 60):0} min; until then none is looked at.");
        }

        // A browser that hangs up does not call it off: its try has been counted.
        switch (password is { Length: > 0 and <= 4 * PasswordRules.Longest } ? await desk.IsRightAsync(password, CancellationToken.None) : false)
        {
            case null:
                access.Pace.Right(client);
                return await Later(http, 5, to, again, "Others are signing in just now. Try again in a few seconds.");
            case false:
                refusals.Add(http, $"a wrong password, from {client}");
                return await Say(http, StatusCodes.Status401Unauthorized, to, again, "That is not the password. Nothing was done.");
            default:
                access.Pace.Right(client);
                access.Begin(http);
                if (again is not null) return await SendAgain(http, again);
                return PageRender.WantsPage(http) ? SeeOther(http, to) : Results.Json(new Answer("", "Signed in."), StationJson.Default.Answer);
        }
    }

    private static async Task<(string? Password, string To, TypedAgain? Again)> Read(HttpContext http)
    {
        if (http.Request.HasFormContentType)
        {
            var form = await http.Request.ReadFormAsync(http.RequestAborted);
            return (form["password"], Own(form["to"]), PageRender.WantsPage(http) ? TypedAgain.Carried(form) : null);
        }

        try
        {
            using var json = await JsonDocument.ParseAsync(http.Request.Body, cancellationToken: http.RequestAborted);
            return json.RootElement.ValueKind == JsonValueKind.Object && json.RootElement.TryGetProperty("password", out var given) && given.ValueKind == JsonValueKind.String
                ? (given.GetString(), "/", null)
                : (null, "/", null);
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException) // the second: text that is no Unicode
        {
            return (null, "/", null);
        }
    }

    private static Task<IResult> SendAgain(HttpContext http, TypedAgain again) =>
        PageRefused.Again(http, StatusCodes.Status200OK, "Signed in", "Look at what you typed before, and send it again.", again);

    private static Task<IResult> Later(HttpContext http, double seconds, string to, TypedAgain? again, string sentence)
    {
        http.Response.Headers.RetryAfter = Math.Ceiling(seconds).ToString(CultureInfo.InvariantCulture);
        return Say(http, StatusCodes.Status429TooManyRequests, to, again, sentence);
    }

    private static async Task<IResult> Say(HttpContext http, int status, string to, TypedAgain? again, string sentence)
    {
        if (status == StatusCodes.Status401Unauthorized) http.Response.Headers.WWWAuthenticate = PageAccess.Challenge;
        return PageRender.WantsPage(http) ? await Show(http, status, to, sentence, again) : PageRefused.Problem(status, "Not signed in", sentence);
    }

    private static IResult SeeOther(HttpContext http, string to)
    {
        http.Response.Headers.Location = to;
        return Results.StatusCode(StatusCodes.Status303SeeOther);
    }
}
