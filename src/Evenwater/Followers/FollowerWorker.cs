using Evenwater.Core;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Running;

namespace Evenwater.Followers;

/// <summary>Whom the log is told to; what is null is not told.</summary>
internal sealed record FollowerPlan(MqttOptions? Mqtt, InfluxOptions? Influx, bool EmbeddedBroker);

/// <summary>Runs the followers beside the stations. Whatever becomes of them, control goes on.</summary>
internal sealed class FollowerWorker(
    FollowerPlan plan, RunPlan run, NightLog log, StationDirectory directory, Page.StationBoard board, NoteDesk notes, TimeProvider time, ILogger<FollowerWorker> logger) : BackgroundService
{
    /// <summary>How long one that broke off rests before it is begun anew. Our own choice.</summary>
    private static readonly TimeSpan Rest = TimeSpan.FromSeconds(30);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        var following = new List<Task>();
        if (plan.Influx is { } influx)
        {
            following.Add(KeepAsync(stop => FollowAsync(influx, stop), Rest, logger, stoppingToken));
        }

        if (plan.Mqtt is { } mqtt)
        {
            var key = Key(mqtt);
            following.AddRange(run.Stations.Select(station => KeepAsync(
                stop => new MqttFollower(
                    log, station.Name, run.BootId, mqtt,
                    new AskDesk(station.Name, new ChallengeBook(station.Name, key, () => directory.Budget(station.Name), time), new AskLimit(time)),
                    ObeyAsync, body => _ = NoteAsync(station.Name, body, stop), logger)
                {
                    IsSilent = () => board.Find(station.Name) is { IsSilent: true },
                    Refused = () => directory.Find(station.Name)?.Missed(),
                }.RunAsync(stop),
                Rest, logger, stoppingToken)));
        }

        await Task.WhenAll(following);
    }

    /// <summary>Begins one anew that broke off, whatever it was: a card may fail for a moment, and nobody would see for weeks that one follower is gone.</summary>
    internal static async Task KeepAsync(Func<CancellationToken, Task> follow, TimeSpan rest, ILogger logger, CancellationToken stop)
    {
        while (!stop.IsCancellationRequested)
        {
            try
            {
                await follow(stop);
                return;
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                return;
            }
            catch (Exception e)
            {
                logger.LogError(e, "A follower broke off; control and the log go on without it, and it is begun anew");
                await Task.Delay(rest, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }
    }

    /// <summary>Not before each station is there: what is told of it would be lost.</summary>
    private async Task FollowAsync(InfluxOptions influx, CancellationToken stop)
    {
        foreach (var station in run.Stations)
        {
            await UntilThereAsync(station.Name, stop);
        }

        var told = new RefusalsTold((station, text) => directory.Note(Here(station), InfluxRefusals.EventName, text), directory.SendingRefused)
        {
            Gap = (station, text) => directory.Note(Here(station), "not-sent", text),
            Missed = station => directory.Find(Here(station))?.Missed(),
        };
        await new InfluxFollower(log, influx, logger, told, time).RunAsync(stop);
    }

    /// <summary>A broker may be there before the station is, which goes through its log first.</summary>
    private async Task NoteAsync(string station, EventBody body, CancellationToken stop)
    {
        await UntilThereAsync(station, stop);
        directory.Note(station, body.Name, body.Text);
        if (body.Name == MqttFollower.NotTold)
        {
            directory.Find(station)?.Missed();
        }
    }

    private async Task UntilThereAsync(string station, CancellationToken stop)
    {
        while (!directory.Has(station))
        {
            await Task.Delay(TimeSpan.FromMilliseconds(200), stop);
        }
    }

    /// <summary>The log may speak of a station that is no longer here; what is to be told of it is told at another.</summary>
    private string Here(string station) => run.Stations.Any(s => s.Name == station) ? station : run.Stations[0].Name;

    /// <summary>The configuration was checked at the start; a file that was spoilt since opens nothing, and is told.</summary>
    private byte[]? Key(MqttOptions mqtt)
    {
        if (mqtt.AskKeyFile is null)
        {
            return null;
        }

        var (key, problem) = AskKey.Read(mqtt.AskKeyFile);
        if (problem is not null)
        {
            logger.LogError("{Problem} Nothing is opened or reset over MQTT.", problem);
        }

        return key;
    }

    private async Task<Answer> ObeyAsync(Ask ask, CancellationToken enough)
    {
        if (ask.Note is { } note)
        {
            var written = await notes.WriteAsync(ask.Station, note);
            return new Answer(written.Ok, written.Text);
        }

        Verb? verb = ask.Verb switch
        {
            "close" => Verb.Close,
            "open" => Verb.Begin,
            "reset" => Verb.Reset,
            _ => null,
        };
        return verb is not { } known
            ? new Answer(false, $"Refused: nothing is known of {ask.Verb}.")
            : await directory.AskAsync(ask.Station, new Asking(known, $"mqtt {ask.By}", known == Verb.Begin ? new StartKnown() : null) { Signed = ask.Signed }, enough);
    }
}
