namespace Evenwater.Page;

/// <summary>
/// What every answer passes: strict headers, only the loopback's own names as Host (a page of another site that rebinds
/// its name to this machine is turned away), and no change of state asked for by another origin.
/// </summary>
internal static class PageGuard
{
    private const string Policy =
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

    private static readonly string[] s_hosts = ["127.0.0.1", "localhost", "[::1]"];

    /// <summary>Lets it through, or refuses it; what is refused, here or further on, is counted.</summary>
    public static async Task Check(HttpContext http, PageRefusals refusals, Func<Task> next)
    {
        var headers = http.Response.Headers;
        headers.ContentSecurityPolicy = Policy;
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "no-referrer";
        headers.CacheControl = "no-store";
        if (!IsOwnHost(http))
        {
            await Refuse(http, refusals, StatusCodes.Status400BadRequest, "This name is not served here. Use 127.0.0.1 or localhost with the page's port.");
        }
        else if (IsRead(http.Request.Method))
        {
            await next();
        }
        else if (!IsOwnOrigin(http.Request))
        {
            await Refuse(http, refusals, StatusCodes.Status403Forbidden, "Asked by a page of another origin.");
        }
        else
        {
            await Change(http, refusals, next);
        }
    }

    /// <summary>What would change something and is not in order: malformed, too large, or not there.</summary>
    private static async Task Change(HttpContext http, PageRefusals refusals, Func<Task> next)
    {
        try
        {
            await next();
            if (http.Response.StatusCode is >= 400 and < 500) refusals.Add(http, $"answered {http.Response.StatusCode}");
        }
        catch (Exception e) when (e is IOException or InvalidDataException && !http.Response.HasStarted)
        {
            await Refuse(http, refusals, (e as BadHttpRequestException)?.StatusCode ?? StatusCodes.Status400BadRequest, $"Not understood: {e.Message}");
        }
    }

    private static bool IsOwnHost(HttpContext http)
    {
        var host = http.Request.Host;
        return Array.Exists(s_hosts, h => h.Equals(host.Host, StringComparison.OrdinalIgnoreCase))
            && (host.Port ?? 80) == http.Connection.LocalPort;
    }

    private static bool IsRead(string method) => HttpMethods.IsGet(method) || HttpMethods.IsHead(method);

    // A browser names the origin of every POST. It writes "null" for a form of a page with no-referrer, such as ours;
    // then Sec-Fetch-Site, which no script can set, must say the same. A client that is no browser sends neither.
    private static bool IsOwnOrigin(HttpRequest request)
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

    private static Task Refuse(HttpContext http, PageRefusals refusals, int status, string why)
    {
        refusals.Add(http, why);
        return Results.Problem(title: why, statusCode: status).ExecuteAsync(http);
    }
}
