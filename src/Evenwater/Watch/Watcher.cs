using Evenwater.Followers;
using MQTTnet;
using MQTTnet.Protocol;

namespace Evenwater.Watch;

/// <summary>
/// Listens from elsewhere to what the daemons say, and tells when one is silent: a daemon and a broker on one computer can not tell of its power cut.
/// What the broker only kept does not count as heard, nor does the will that it tells for a daemon.
/// </summary>
/// <param name="mqtt">The broker.</param>
/// <param name="stations">Which; "+" is every one that was ever heard.</param>
/// <param name="limit">How long a silence may last.</param>
/// <param name="bell">Rung when the broker is away for as long.</param>
/// <param name="time">Its timestamps count the silence; its wall time is a label.</param>
/// <param name="logger">Told what comes and goes.</param>
internal sealed class Watcher(MqttOptions mqtt, IReadOnlyList<string> stations, TimeSpan limit, Bell bell, TimeProvider time, ILogger logger)
{
    private readonly TimeSpan _tick = TimeSpan.FromSeconds(Math.Clamp(limit.TotalSeconds / 20, 0.05, 5));
    private readonly TimeSpan _ackTime = TimeSpan.FromSeconds(mqtt.AckSeconds);
    private readonly Silence _silence = new(limit, TimeSpan.FromSeconds(Math.Min(60, limit.TotalSeconds / 2)));
    private readonly long _started = time.GetTimestamp();
    private TimeSpan _brokerAt;
    private bool _rung;
    private bool _gone;

    private TimeSpan Now => time.GetElapsedTime(_started);

    /// <summary>Watches until stopped.</summary>
    public async Task RunAsync(CancellationToken stop)
    {
        foreach (var station in stations.Where(s => s != "+"))
        {
            _silence.Know(station, Now);
        }

        var name = $"evenwater-watch-{Guid.NewGuid():N}";
        while (!stop.IsCancellationRequested)
        {
            try
            {
                // Each time anew: the password or the certificate may have been put right meanwhile.
                await ConnectionAsync(mqtt.BuildListener(name), stop);
            }
            catch (Exception e)
            {
                if (!stop.IsCancellationRequested && !_gone)
                {
                    _gone = true;
                    logger.LogWarning("the MQTT broker {Host}:{Port} is gone: {Reason}", mqtt.Host, mqtt.Port, e.GetBaseException().Message);
                }
            }

            if (!stop.IsCancellationRequested && !_rung && Now - _brokerAt >= limit)
            {
                _rung = true;
                logger.LogError("The MQTT broker could not be told or heard for {Minutes:0.#} min: ringing", limit.TotalMinutes);
                await bell.RingAsync(stop);
            }

            await Task.Delay(_tick, time, stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private async Task ConnectionAsync(MqttClientOptions options, CancellationToken stop)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        client.ApplicationMessageReceivedAsync += e =>
        {
            Hear(e.ApplicationMessage);
            return Task.CompletedTask;
        };
        var connected = await client.ConnectAsync(options, stop).WaitAsync(_ackTime, stop); // given a token, it has no limit of its own
        if (connected.ResultCode != MqttClientConnectResultCode.Success)
        {
            throw new IOException($"it refuses us: {connected.ResultCode} {connected.ReasonString}");
        }

        _silence.Connected(Now);
        foreach (var filter in stations.SelectMany(s => new[] { "state", "say", $"alarm/{SilentAlarm.Name}" }.Select(t => $"evenwater/v1/{s}/{t}")))
        {
            var granted = await client.SubscribeAsync(filter, MqttQualityOfServiceLevel.AtLeastOnce, stop).WaitAsync(_ackTime, stop);
            if (granted.Items.FirstOrDefault(i => i.ResultCode > MqttClientSubscribeResultCode.GrantedQoS2) is { } refused)
            {
                throw new IOException($"it does not let us hear {filter}: {refused.ResultCode}");
            }
        }

        while (true)
        {
            // Only an answer shows that the broker is there; a connection may look alive for hours without one.
            await client.PingAsync(stop).WaitAsync(_ackTime, stop);
            foreach (var (station, raise) in _silence.Due(Now))
            {
                var published = await client.PublishAsync(SilentAlarm.Message(station, raise, limit, time.GetUtcNow()), stop).WaitAsync(_ackTime, stop);
                if (!published.IsSuccess)
                {
                    throw new IOException($"it does not take {station}'s alarm: {published.ReasonCode}");
                }

                _silence.Told(station, raise, Now);
                logger.LogWarning("{Station}: {What}", station, raise ? "silent; the broker was told" : "heard again; the alarm is cleared");
            }

            (_brokerAt, _rung, _gone) = (Now, false, false);
            await Task.Delay(_tick, time, stop);
        }
    }

    private void Hear(MqttApplicationMessage message)
    {
        if (message.Topic.Split('/') is not ["evenwater", "v1", var station, ..])
        {
            return;
        }

        var text = message.ConvertPayloadToString() ?? "";
        if (text.Length == 0)
        {
            // A person has cleared what the broker kept: nobody spoke, and who is watched by name still is.
            if (!stations.Contains(station))
            {
                _silence.Forget(station);
            }
        }
        else if (message.Topic.EndsWith($"/alarm/{SilentAlarm.Name}", StringComparison.Ordinal))
        {
            if (message.Retain)
            {
                // Raised by a watcher before this start.
                _silence.Told(station, text.Contains("\"state\":\"unacknowledged\"", StringComparison.Ordinal), Now);
            }
        }
        else if (message.Retain || text.Contains("\"state\":\"offline\"", StringComparison.Ordinal))
        {
            _silence.Know(station, Now);
        }
        else
        {
            _silence.Heard(station, Now);
        }
    }
}
