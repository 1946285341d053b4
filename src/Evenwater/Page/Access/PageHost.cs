using System.Net;

namespace Evenwater.Page.Access;

/// <summary>
/// By which names the page is called. A page of another site that rebinds its name to this computer comes with that name, and is turned away; the server itself looks at
/// none.
/// </summary>
internal static class PageHost
{
    private static readonly string[] s_loopback = ["127.0.0.1", "localhost", "[::1]"];

    /// <summary>Whether the request names this page: a name of the list, or at the loopback one of its own, with the port that it came in by.</summary>
    public static bool IsOurs(HttpContext http, IReadOnlyList<string> hosts)
    {
        var host = http.Request.Host;
        return (host.Port ?? (http.Request.IsHttps ? 443 : 80)) == http.Connection.LocalPort
            && (Has(hosts, host.Host) || (http.Connection.LocalIpAddress is { } at && IPAddress.IsLoopback(at) && Has(s_loopback, host.Host)));
    }

    private static bool Has(IReadOnlyList<string> hosts, string host) => hosts.Any(h => h.Equals(host, StringComparison.OrdinalIgnoreCase));
}
