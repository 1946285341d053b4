using Evenwater.Core;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Followers;

/// <summary>Whom the log is told to; what is null is not told.</summary>
internal sealed record FollowerPlan(MqttOptions? Mqtt, InfluxOptions? Influx, bool EmbeddedBroker);

/// <summary>Runs the followers beside the stations. Whatever becomes of them, control goes on.</summary>
internal sealed class FollowerWorker(
    FollowerPlan plan, RunPlan run, NightLog log, StationDirectory directory, ILogger<FollowerWorker> logger) : BackgroundService
{
    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        var following = new List<Task>();
        if (plan.Influx is { } influx)
        {
            following.Add(new InfluxFollower(log, influx, logger).RunAsync(stoppingToken));
        }

        if (plan.Mqtt is { } mqtt)
        {
            following.AddRange(run.Stations.Select(station => new MqttFollower(
                log, station.Name, run.BootId, mqtt, ObeyAsync,
                body => directory.Note(station.Name, body.Name, body.Text), logger).RunAsync(stoppingToken)));
        }

        try
        {
            await Task.WhenAll(following);
        }
        catch (Exception e) when (!stoppingToken.IsCancellationRequested)
        {
            logger.LogError(e, "A follower has stopped; control and the log go on without it.");
        }
        catch (OperationCanceledException)
        {
            // Asked to stop.
        }
    }

    private async Task<string> ObeyAsync(Ask ask, CancellationToken stop)
    {
        var answer = await directory.AskAsync(ask.Station, new Asking(Verb.Close, $"mqtt {ask.By}"), stop);
        return answer.Text;
    }
}
