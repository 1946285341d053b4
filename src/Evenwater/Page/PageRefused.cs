using Evenwater.Page.Frame;

namespace Evenwater.Page;

/// <summary>Answers that are refusals: a page for a person's browser, a problem (RFC 9457) for all else and for all of /api that is read.</summary>
internal static class PageRefused
{
    /// <summary>Tells it.</summary>
    public static async Task Tell(HttpContext http, int status, string title, string detail) => await (await Of(http, status, title, detail)).ExecuteAsync(http);

    /// <summary>An answer that is bad and says nothing gets its words: what the server or the routing refused by itself.</summary>
    public static Task Complete(HttpContext http)
    {
        var response = http.Response;
        if (response.StatusCode < 400 || response.HasStarted || response.ContentType is not null || response.ContentLength is > 0)
        {
            return Task.CompletedTask;
        }

        var (title, detail) = response.StatusCode switch
        {
            StatusCodes.Status404NotFound => ("Nothing is here", PageRender.WantsPage(http) ? "There is no such page." : "There is no such address. /api/v1/openapi.json tells those of the interface."),
            StatusCodes.Status405MethodNotAllowed => ("Not in this way", $"{Plain.Line(http.Request.Method)} is not understood here. Allowed: {response.Headers.Allow}."),
            StatusCodes.Status413PayloadTooLarge => ("Too large", "The body is larger than this address takes."),
            StatusCodes.Status415UnsupportedMediaType => ("Not a kind that is understood", "Allowed: application/json, or a form's own kinds."),
            _ => ("Not taken", "The request can not be answered as it is."),
        };
        return Tell(http, response.StatusCode, title, detail);
    }

    /// <summary>On a page, with what was typed, to be sent again.</summary>
    public static Task<IResult> Again(HttpContext http, int status, string title, string detail, TypedAgain again) => PageRender.Show<RefusedPage>(
        http, status, (nameof(RefusedPage.Visit), PageVisit.Of(http)), (nameof(RefusedPage.Heading), title), (nameof(RefusedPage.Detail), detail), (nameof(RefusedPage.Again), again));

    /// <summary>The same as a route's answer; data that is read is told as a problem whoever asks for it.</summary>
    public static IResult Answer(int status, string title, string detail) => new Refusal(status, title, detail);

    /// <summary>As a problem, with the type that RFC 9457 wants.</summary>
    public static IResult Problem(int status, string title, string detail) => Results.Problem(title: title, detail: detail, statusCode: status, type: Type(status));

    // What comes in floods is answered by what costs least.
    private static async Task<IResult> Of(HttpContext http, int status, string title, string detail) =>
        PageRender.WantsPage(http) && status is not (StatusCodes.Status400BadRequest or StatusCodes.Status414UriTooLong or StatusCodes.Status429TooManyRequests)
            ? await PageRender.Show<RefusedPage>(
                http, status, (nameof(RefusedPage.Visit), PageVisit.Of(http)), (nameof(RefusedPage.Heading), title), (nameof(RefusedPage.Detail), detail))
            : Problem(status, title, detail);

    // The framework names the section of RFC 9110 for most; not for these.
    private static string? Type(int status) => status switch
    {
        StatusCodes.Status413PayloadTooLarge => "https://tools.ietf.org/html/rfc9110#section-15.5.14",
        StatusCodes.Status414UriTooLong => "https://tools.ietf.org/html/rfc9110#section-15.5.15",
        StatusCodes.Status429TooManyRequests => "https://tools.ietf.org/html/rfc6585#section-4",
        StatusCodes.Status431RequestHeaderFieldsTooLarge => "https://tools.ietf.org/html/rfc6585#section-5",
        _ => null,
    };

    private sealed class Refusal(int status, string title, string detail) : IResult, IStatusCodeHttpResult
    {
        public int? StatusCode => status;

        public Task ExecuteAsync(HttpContext http) => http.Request.Path.StartsWithSegments("/api", StringComparison.Ordinal) && HttpMethods.IsGet(http.Request.Method)
            ? Problem(status, title, detail).ExecuteAsync(http)
            : Tell(http, status, title, detail);
    }
}
