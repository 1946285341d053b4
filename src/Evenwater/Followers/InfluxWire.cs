using System.Net;
using System.Net.Http.Headers;
using InfluxDB.Client;
using InfluxDB.Client.Writes;

namespace Evenwater.Followers;

/// <summary>The client, its token and its connections. Reads the token's file once: a new token takes a new wire.</summary>
internal sealed class InfluxWire : IDisposable
{
    private readonly InfluxOptions _options;
    private readonly SocketsHttpHandler _sockets;
    private readonly PlainAnswers _way;
    private readonly InfluxV1Handler _version1;
    private readonly HttpClient _http;
    private readonly InfluxDBClient _client;
    private readonly WriteApiAsync _write;
    private int _connections;

    public InfluxWire(InfluxOptions options)
    {
        _options = options;
        _sockets = new SocketsHttpHandler
        {
            AllowAutoRedirect = false, // a write that is led on arrives as a question, and the page that answers it has stored nothing
            PlaintextStreamFilter = (connection, _) =>
            {
                Interlocked.Increment(ref _connections);
                return ValueTask.FromResult(connection.PlaintextStream);
            },
        };
        _way = new PlainAnswers(_sockets);
        _version1 = new InfluxV1Handler(_way);
        _http = new HttpClient(options.Version1 ? _version1 : _way) { Timeout = TimeSpan.FromSeconds(options.AnswerSeconds) };
        try
        {
            var client = new InfluxDBClientOptions(options.Url) { Org = options.Organisation, Bucket = options.Bucket, HttpClient = _http };
            if (Secret.Read(options.TokenFile) is { } token)
            {
                client.Token = token;
            }

            _client = new InfluxDBClient(client);
            _client.EnableGzip();
            _write = _client.GetWriteApiAsync();
        }
        catch
        {
            DisposeWay();
            throw;
        }
    }

    /// <summary>How many connections were made: a new one may mean that the server has died in between.</summary>
    public int Connections => Volatile.Read(ref _connections);

    /// <summary>Returns when the server has acknowledged all of it.</summary>
    public Task WriteAsync(PointData[] points, CancellationToken stop) => _write.WritePointsAsync(points, _options.Bucket, _options.Organisation, stop);

    public void Dispose()
    {
        _client.Dispose();
        DisposeWay();
    }

    private void DisposeWay()
    {
        _http.Dispose();
        _version1.Dispose();
        _way.Dispose();
        _sockets.Dispose();
    }

    /// <summary>
    /// The client takes any 2xx for a yes, such as a proxy's page that asks who is there; a write that was stored is answered by 204 alone (InfluxDB's API reference, 1.x and 2.x). And it reads
    /// Retry-After as seconds alone and stumbles over a date; RFC 9110, section 10.2.3, allows both.
    /// </summary>
    private sealed class PlainAnswers(HttpMessageHandler inner) : DelegatingHandler(inner)
    {
        protected override async Task<HttpResponseMessage> SendAsync(HttpRequestMessage request, CancellationToken cancellationToken)
        {
            var answer = await base.SendAsync(request, cancellationToken);
            if (answer.IsSuccessStatusCode && answer.StatusCode != HttpStatusCode.NoContent)
            {
                using (answer)
                {
                    throw new HttpRequestException($"it answered {(int)answer.StatusCode} ({answer.Content.Headers.ContentType?.MediaType ?? "nothing"}) where a database says 204: is something else there, or a proxy before it?");
                }
            }

            var asked = answer.Headers.RetryAfter;
            if (answer.Headers.Contains("Retry-After") && asked?.Delta is null)
            {
                // By the server's own clock: ours may never have been set.
                var left = asked?.Date - answer.Headers.Date;
                answer.Headers.Remove("Retry-After");
                answer.Headers.RetryAfter = left > TimeSpan.Zero ? new RetryConditionHeaderValue(left.Value) : null;
            }

            return answer;
        }
    }
}
