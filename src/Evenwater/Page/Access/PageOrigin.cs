namespace Evenwater.Page.Access;

/// <summary>Who may ask for a change: a page of ours that carries its token, or a program. Never a page of another site, whatever the browser is made to send.</summary>
internal static class PageOrigin
{
    private const string Closing = "/close";

    /// <summary>Whether it is asked to close a valve.</summary>
    public static bool IsClosing(HttpRequest request) =>
        HttpMethods.IsPost(request.Method) && request.Path.StartsWithSegments("/api/v1/stations", out var rest) && rest.Value is { } path
        && path.EndsWith(Closing, StringComparison.Ordinal) && path.LastIndexOf('/') == path.IndexOf('/', 1);

    // A browser names the origin of every POST. It writes "null" for a form of a page with no-referrer, such as ours;
    // then Sec-Fetch-Site, which no script can set, must say the same. A client that is no browser sends neither.
    /// <summary>Whether no other origin asks.</summary>
    public static bool IsOwn(HttpRequest request)
    {
        var site = request.Headers["Sec-Fetch-Site"].ToString();
        if (site is not ("" or "same-origin" or "none")) return false;
        return request.Headers.Origin.ToString() switch
        {
            "" => true,
            "null" => site == "same-origin",
            var origin => origin.Equals($"{request.Scheme}://{request.Host}", StringComparison.OrdinalIgnoreCase),
        };
    }

    /// <summary>
    /// Whether the request proves that it comes from a page of ours, by the token, or from a program: JSON without any sign of a browser. No page of another site can
    /// send JSON without asking first, and it is never answered then. Closing needs neither: in doubt the valve is closed.
    /// </summary>
    public static async Task<bool> IsProven(HttpRequest request, PageToken token)
    {
        if (IsClosing(request) || token.Is(request.Headers[PageToken.Header]))
        {
            return true;
        }

        if (request.HasFormContentType)
        {
            return token.Is((await request.ReadFormAsync(request.HttpContext.RequestAborted))[PageToken.Field]);
        }

        return IsJson(request) && request.Headers.Origin.Count == 0 && request.Headers["Sec-Fetch-Site"].Count == 0;
    }

    /// <summary>What kinds of body a change may come in: JSON, a form, or none at all.</summary>
    public static bool IsKnownKind(HttpRequest request) => request.ContentType is null || request.HasFormContentType || IsJson(request);

    private static bool IsJson(HttpRequest request) => request.HasJsonContentType();
}
