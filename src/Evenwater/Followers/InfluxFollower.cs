using Evenwater.Log;
using InfluxDB.Client;

namespace Evenwater.Followers;

/// <summary>
/// Sends what the log holds to InfluxDB. The cursor moves only after the server has acknowledged; the log is the queue,
/// so nothing is lost while the server is away, and what is sent twice is stored once.
/// </summary>
internal sealed class InfluxFollower(NightLog log, InfluxOptions options, ILogger logger)
{
    /// <summary>The name of its cursor.</summary>
    public const string Name = "influxdb";

    /// <summary>Why nothing is being sent just now; null while all is well.</summary>
    public string? Fault { get; private set; }

    /// <summary>How many entries the server does not have yet.</summary>
    public long Behind => log.LastId - log.Cursor(Name);

    /// <summary>Follows until stopped.</summary>
    public async Task RunAsync(CancellationToken stop)
    {
        var backoff = new Backoff(TimeSpan.FromSeconds(options.RetrySeconds), TimeSpan.FromSeconds(options.LongestRetrySeconds));
        using var sockets = new SocketsHttpHandler { PooledConnectionLifetime = TimeSpan.FromMinutes(5) };
        using var version1 = new InfluxV1Handler(sockets);
        using var http = new HttpClient(options.Version1 ? version1 : sockets) { Timeout = TimeSpan.FromSeconds(options.AnswerSeconds) };
        var clientOptions = new InfluxDBClientOptions(options.Url) { Org = options.Organisation, Bucket = options.Bucket, HttpClient = http };
        if (Secret.Read(options.TokenFile) is { } token)
        {
            clientOptions.Token = token;
        }

        using var client = new InfluxDBClient(clientOptions);
        client.EnableGzip();
        var write = client.GetWriteApiAsync();
        while (!stop.IsCancellationRequested)
        {
            try
            {
                await SendNextAsync(write, stop);
                backoff.Reset();
                Fault = null;
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                return;
            }
            catch (Exception e)
            {
                if (Fault is null)
                {
                    logger.LogWarning("InfluxDB at {Url} takes nothing now ({Reason}); the log keeps it until it does", options.Url, e.Message);
                }

                Fault = e.Message;
                await Task.Delay(backoff.Next(), stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }
    }

    private async Task SendNextAsync(WriteApiAsync write, CancellationToken stop)
    {
        var after = log.Cursor(Name);
        await log.WaitAfterAsync(after, stop);
        var entries = log.Reader.Read(after, options.BatchEntries).TakeWhile(e => e.Wall is not null).ToList();
        if (entries.Count == 0)
        {
            // A point's time is part of its identity: what has none yet must wait, and so must all after it.
            throw new InvalidOperationException($"entry {after + 1} has no wall time yet");
        }

        var points = entries.ConvertAll(e => InfluxPoints.Of(e, log.Reader.Configuration(e.ConfigurationId)));
        await write.WritePointsAsync(points, options.Bucket, options.Organisation, stop);
        log.MoveCursor(Name, entries[^1].Id);
    }
}
