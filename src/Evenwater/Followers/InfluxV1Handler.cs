namespace Evenwater.Followers;

/// <summary>
/// Sends the client's 2.x writes to a 1.x server: /api/v2/write?bucket=database/policy becomes /write?db=..&amp;rp=...
/// 1.x names of the same parameters: InfluxDB 1.x HTTP API reference, "/write HTTP endpoint".
/// </summary>
internal sealed class InfluxV1Handler(HttpMessageHandler inner) : DelegatingHandler(inner)
{
    protected override Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken)
    {
        if (request.RequestUri is { AbsolutePath: "/api/v2/write" } uri)
        {
            var query = System.Web.HttpUtility.ParseQueryString(uri.Query);
            var bucket = (query["bucket"] ?? "").Split('/', 2);
            var policy = bucket.Length == 2 ? $"&rp={Uri.EscapeDataString(bucket[1])}" : "";
            request.RequestUri = new UriBuilder(uri)
            {
                Path = "/write",
                Query = $"db={Uri.EscapeDataString(bucket[0])}{policy}&precision={query["precision"]}",
            }.Uri;

            // "Token user:password" is understood from 1.8 on only; Basic by every 1.x (the same reference, "Authentication").
            if (request.Headers.Authorization is { Scheme: "Token", Parameter: { } user } && user.Contains(':', StringComparison.Ordinal))
            {
                request.Headers.Authorization = new("Basic", Convert.ToBase64String(System.Text.Encoding.UTF8.GetBytes(user)));
            }
        }

        return base.SendAsync(request, cancellationToken);
    }
}
