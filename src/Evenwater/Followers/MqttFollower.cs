using Evenwater.Log;
using Evenwater.Running;
using MQTTnet;
using MQTTnet.Protocol;

namespace Evenwater.Followers;

/// <summary>
/// Tells one station's entries over MQTT, in order, from its own cursor, which moves only after the broker's acknowledgement.
/// One loop connects, tells and connects again. One station has one connection, because a connection has one will.
/// </summary>
/// <param name="log">What is told.</param>
/// <param name="station">The station's name.</param>
/// <param name="bootId">The boot that the state names.</param>
/// <param name="options">Where and how.</param>
/// <param name="desk">Judges what is asked.</param>
/// <param name="obey">Does what was asked and answers.</param>
/// <param name="record">Keeps what was refused.</param>
/// <param name="logger">Told when the broker goes and comes.</param>
internal sealed class MqttFollower(
    NightLog log,
    string station,
    long bootId,
    MqttOptions options,
    AskDesk desk,
    Func<Ask, CancellationToken, Task<Answer>> obey,
    Action<EventBody> record,
    ILogger logger)
{
    private const int Page = 200;
    private static readonly TimeSpan HandlingTime = TimeSpan.FromSeconds(5);

    private readonly MqttMessages _messages = new(station, log.Reader.Identity());
    private readonly string _boot = log.Reader.BootToken(bootId);
    private readonly Dictionary<string, long> _current = [];
    private bool _lostTold;

    /// <summary>The name of its cursor.</summary>
    public string Name { get; } = $"mqtt/{station}";

    /// <summary>Why nothing is being told just now; null while all is well.</summary>
    public string? Fault { get; private set; } = "not connected yet";

    /// <summary>How many entries have not been told yet, other stations' included.</summary>
    public long Behind => log.LastId - log.Cursor(Name);

    private TimeSpan AckTime => TimeSpan.FromSeconds(options.AckSeconds);

    /// <summary>Follows until stopped; then says "stopped" and takes its leave.</summary>
    public async Task RunAsync(CancellationToken stop)
    {
        var clientOptions = options.Build($"evenwater-{station}-{log.Reader.Identity()[..8]}", _messages.State("offline", _boot));
        var backoff = new Backoff(TimeSpan.FromSeconds(options.RetrySeconds), TimeSpan.FromSeconds(options.LongestRetrySeconds));
        while (!stop.IsCancellationRequested)
        {
            try
            {
                await ConnectionAsync(clientOptions, backoff, stop);
            }
            catch (Exception e)
            {
                var reason = e is OperationCanceledException ? "the connection was lost" : e.Message;
                if (!stop.IsCancellationRequested && Fault is null)
                {
                    logger.LogWarning("the MQTT broker {Host}:{Port} is gone ({Reason}); the log keeps all until it is back", options.Host, options.Port, reason);
                }

                Fault = reason;
            }

            await Task.Delay(backoff.Next(), stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    /// <summary>One connection, from its birth until it is lost (which throws) or we are stopped.</summary>
    private async Task ConnectionAsync(MqttClientOptions clientOptions, Backoff backoff, CancellationToken stop)
    {
        using var lost = CancellationTokenSource.CreateLinkedTokenSource(stop);
        using var client = new MqttClientFactory().CreateMqttClient();
        client.DisconnectedAsync += async _ =>
        {
            try
            {
                await lost.CancelAsync();
            }
            catch (ObjectDisposedException)
            {
                // We had already given up this connection ourselves.
            }
        };
        client.ApplicationMessageReceivedAsync += async e => await AnswerAsync(client, e.ApplicationMessage, lost.Token);

        var result = await client.ConnectAsync(clientOptions, lost.Token);
        if (result.ResultCode != MqttClientConnectResultCode.Success)
        {
            throw new IOException($"the broker refuses us: {result.ResultCode} {result.ReasonString}");
        }

        try
        {
            await client.SubscribeAsync(desk.Filter, MqttQualityOfServiceLevel.AtLeastOnce, lost.Token).WaitAsync(AckTime, lost.Token);
            await PublishAsync(client, _messages.State("online", _boot), lost.Token);
            await PublishCurrentAsync(client, lost.Token);
            Fault = null;
            backoff.Reset();
            await TellAsync(client, lost.Token);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested && client.IsConnected)
        {
            // A normal leave drops the will, so we say ourselves that we are gone.
            using var leave = new CancellationTokenSource(AckTime);
            await PublishAsync(client, _messages.State("stopped", _boot), leave.Token);
            await client.DisconnectAsync(new MqttClientDisconnectOptions(), leave.Token);
        }
    }

    /// <summary>Tells what comes, and every so often that we are still there: only an acknowledgement shows that the broker is.</summary>
    private async Task TellAsync(IMqttClient client, CancellationToken lost)
    {
        while (true)
        {
            var after = log.Cursor(Name);
            try
            {
                await log.WaitAfterAsync(after, lost).WaitAsync(AckTime * 2, lost);
            }
            catch (TimeoutException)
            {
                await PublishAsync(client, _messages.State("online", _boot), lost);
                if (!log.Commits)
                {
                    await PublishAsync(client, _messages.LogLost(calls: !_lostTold), lost);
                    _lostTold = true;
                }

                continue;
            }

            _lostTold = false;

            foreach (var entry in log.Reader.Read(after, Page))
            {
                if (entry.Station == station)
                {
                    await PublishAsync(client, entry, lost);
                }

                log.MoveCursor(Name, entry.Id);
            }
        }
    }

    /// <summary>The state that the broker is to keep, first of all and again at each connection: a broker that crashed may have lost it.</summary>
    private async Task PublishCurrentAsync(IMqttClient client, CancellationToken lost)
    {
        var current = log.Reader.Alarms(station)
            .Append(log.Reader.Last(station, EntryKind.Say))
            .Append(log.Reader.Last(station, EntryKind.Forecast));
        foreach (var entry in current.OfType<Entry>())
        {
            _current[MqttMessages.CurrentTopic(entry)!] = entry.Id;
            await PublishAsync(client, entry, lost, onlyCurrent: true);
        }
    }

    private async Task PublishAsync(IMqttClient client, Entry entry, CancellationToken lost, bool onlyCurrent = false)
    {
        var topic = MqttMessages.CurrentTopic(entry);
        var superseded = topic is not null && _current.GetValueOrDefault(topic) > entry.Id;
        var messages = _messages.Of(entry, log.Reader.Configuration(entry.ConfigurationId), superseded);
        foreach (var message in onlyCurrent ? messages.Take(1) : messages)
        {
            await PublishAsync(client, message, lost);
        }
    }

    /// <exception cref="IOException">The broker does not take it.</exception>
    /// <exception cref="TimeoutException">No acknowledgement in time: the connection is dead, whatever it says of itself.</exception>
    private async Task PublishAsync(IMqttClient client, MqttApplicationMessage message, CancellationToken cancellation)
    {
        var result = await client.PublishAsync(message, cancellation).WaitAsync(AckTime, cancellation);
        if (!result.IsSuccess)
        {
            throw new IOException($"the broker does not take {message.Topic}: {result.ReasonCode} {result.ReasonString}");
        }
    }

    private async Task AnswerAsync(IMqttClient client, MqttApplicationMessage message, CancellationToken lost)
    {
        var judged = desk.Judge(message);
        var answer = new Answer(judged.Challenge is not null, judged.Problem ?? judged.Challenge?.Shown ?? "");
        if (judged.Ask is { } ask)
        {
            answer = await ObeyAsync(ask, lost);
            answer = judged.Problem is { } problem ? answer with { Text = $"{answer.Text} ({problem}; ignored)" } : answer;
        }

        foreach (var happened in judged.Events)
        {
            record(happened);
        }

        if (judged.Unheard)
        {
            return;
        }

        if (desk.AnswerTopic(message).Topic is { } topic)
        {
            var verb = message.Topic[(message.Topic.LastIndexOf('/') + 1)..];
            await PublishAsync(client, _messages.Answer(topic, message.CorrelationData, verb, answer, judged.Challenge), lost);
        }
    }

    private async Task<Answer> ObeyAsync(Ask ask, CancellationToken lost)
    {
        try
        {
            // Not tied to the connection: a close goes on when the line drops.
            using var enough = new CancellationTokenSource(HandlingTime);
            return await obey(ask, enough.Token).WaitAsync(HandlingTime, lost);
        }
        catch (Exception e)
        {
            logger.LogError(e, "{Verb} asked over MQTT by {By} failed", ask.Verb, ask.By);
            return new Answer(false, $"failed: {e.Message}");
        }
    }
}
