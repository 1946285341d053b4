namespace Evenwater.Page;

/// <summary>
/// What every answer passes: strict headers, only the loopback's own names as Host (a page of another site that rebinds
/// its name to this machine is turned away), and no change of state asked for by another origin.
/// </summary>
internal static class PageGuard
{
    private const string Policy =
        "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

    private static readonly string[] s_hosts = ["127.0.0.1", "localhost", "[::1]"];

    public static Task Check(HttpContext http, RequestDelegate next)
    {
        var headers = http.Response.Headers;
        headers.ContentSecurityPolicy = Policy;
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "no-referrer";
        headers.CacheControl = "no-store";
        if (!IsOwnHost(http)) return Refuse(http, StatusCodes.Status400BadRequest, "This name is not served here. Use 127.0.0.1 or localhost with the page's port.");
        return IsRead(http.Request.Method) || IsOwnOrigin(http.Request)
            ? next(http)
            : Refuse(http, StatusCodes.Status403Forbidden, "Asked by a page of another origin.");
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

    private static Task Refuse(HttpContext http, int status, string why) =>
        Results.Problem(title: why, statusCode: status).ExecuteAsync(http);
}
