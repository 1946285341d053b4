using System.Security;
using Evenwater.Log;
using Evenwater.Running;
using MQTTnet;
using MQTTnet.Exceptions;
using MQTTnet.Protocol;

namespace Evenwater.Followers;

/// <summary>
/// Tells one station's entries over MQTT in two lanes (<see cref="MqttLane"/>), so that an alarm overtakes a backlog of readings.
/// One loop connects, tells and connects again. One station has one connection, because a connection has one will.
/// </summary>
internal sealed class MqttFollower
{
    /// <summary>Name of the event that something will never be told.</summary>
    public const string NotTold = "not-told";

    private readonly NightLog _log;
    private readonly string _station;
    private readonly MqttOptions _options;
    private readonly AskDesk _desk;
    private readonly MqttMessages _messages;
    private readonly string _boot;
    private readonly MqttFaults _faults;
    private readonly MqttKept _kept;
    private readonly MqttAnswers _answers;
    private readonly MqttLane _words;
    private readonly MqttLane _readings;
    private bool _lostTold;
    private bool _standing;

    /// <param name="log">What is told.</param>
    /// <param name="station">The station's name.</param>
    /// <param name="bootId">The boot that the state names.</param>
    /// <param name="options">Where and how.</param>
    /// <param name="desk">Judges what is asked.</param>
    /// <param name="obey">Does what was asked and answers.</param>
    /// <param name="record">Keeps what was refused.</param>
    /// <param name="logger">Told when the broker goes and comes.</param>
    public MqttFollower(
        NightLog log, string station, long bootId, MqttOptions options, AskDesk desk, Func<Ask, CancellationToken, Task<Answer>> obey, Action<EventBody> record, ILogger logger)
    {
        (_log, _station, _options, _desk) = (log, station, options, desk);
        _messages = new MqttMessages(station, log.Reader.Identity());
        _boot = log.Reader.BootToken(bootId);
        _faults = new MqttFaults(log, station, options, desk.Filter, record, logger);
        _kept = new MqttKept(log, station, _messages, _faults);
        _answers = new MqttAnswers(desk, obey, record, _messages, new MqttHistory(log, station, _messages), logger);
        _words = new MqttLane(log, $"mqtt/{station}", station, cycles: false, entry => _kept.Messages(entry));
        _readings = new MqttLane(log, $"mqtt/{station}/readings", station, cycles: true, entry => _kept.Messages(entry)) { Gone = _faults.Gone, Damaged = _faults.Damaged };
    }

    /// <summary>Why nothing is being told just now; null while all is well.</summary>
    public string? Fault { get; private set; } = "not connected yet";

    /// <summary>Whether the station has fallen silent: its program is there and completes no cycle, and must not be called online.</summary>
    public Func<bool> IsSilent { get; init; } = () => false;

    /// <summary>Told at each try that the broker refuses until a person changes something: no alarm reaches anybody over it, so one must stand here.</summary>
    public Action Refused { get; init; } = () => { };

    /// <summary>How many entries have not been told yet, other stations' included.</summary>
    public long Behind => _log.LastId - Math.Min(_words.Cursor, _readings.Cursor);

    private TimeSpan AckTime => TimeSpan.FromSeconds(_options.AckSeconds);

    /// <summary>Follows until stopped; then says "stopped" and takes its leave.</summary>
    public async Task RunAsync(CancellationToken stop)
    {
        var backoff = new Backoff(TimeSpan.FromSeconds(_options.RetrySeconds), TimeSpan.FromSeconds(_options.LongestRetrySeconds));
        while (!stop.IsCancellationRequested)
        {
            var began = Environment.TickCount64;
            try
            {
                // Each time anew: the password or the certificate may have been put right meanwhile.
                await ConnectionAsync(_options.Build($"evenwater-{_station}-{_log.Reader.Identity()[..8]}", _messages.State("offline", _boot)), stop);
            }
            catch (Exception e)
            {
                Fault = e is OperationCanceledException ? "the connection was lost" : e.GetBaseException().Message; // the client only says that it could not
                if (!stop.IsCancellationRequested)
                {
                    _faults.Warn(Fault);
                    if (e is SecurityException)
                    {
                        _faults.Refuse(Fault);
                        Refused();
                    }
                }
            }

            if (Environment.TickCount64 - began > _options.LongestRetrySeconds * 1000)
            {
                backoff.Reset(); // One that was refused as soon as it was there has not been good.
                _faults.Lasted();
            }

            await Task.Delay(backoff.Next(), stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    /// <summary>One connection, from its birth until it is lost (which throws) or we are stopped.</summary>
    private async Task ConnectionAsync(MqttClientOptions clientOptions, CancellationToken stop)
    {
        using var lost = CancellationTokenSource.CreateLinkedTokenSource(stop);
        using var client = new MqttClientFactory().CreateMqttClient();
        var gone = new TaskCompletionSource<MqttClientDisconnectReason>(TaskCreationOptions.RunContinuationsAsynchronously);
        client.DisconnectedAsync += async e =>
        {
            try
            {
                gone.TrySetResult(e.Reason);
                await lost.CancelAsync();
            }
            catch (ObjectDisposedException)
            {
                // We had already given up this connection ourselves.
            }
        };
        var connected = new TaskCompletionSource<MqttFlight>(TaskCreationOptions.RunContinuationsAsynchronously);
        client.ApplicationMessageReceivedAsync += async e => await _answers.AnswerAsync(await connected.Task.WaitAsync(lost.Token), e.ApplicationMessage, lost.Token);

        var result = await client.ConnectAsync(clientOptions, lost.Token).WaitAsync(AckTime, lost.Token); // given a token, it has no limit of its own
        if (result.ResultCode != MqttClientConnectResultCode.Success)
        {
            var why = $"the broker refuses us: {result.ResultCode} {result.ReasonString}";
            throw result.ResultCode is MqttClientConnectResultCode.NotAuthorized or MqttClientConnectResultCode.BadUserNameOrPassword or MqttClientConnectResultCode.Banned ? new SecurityException(why) : new IOException(why);
        }

        var flight = new MqttFlight(client, result.ReceiveMaximum ?? 0, AckTime);
        connected.SetResult(flight);
        try
        {
            _faults.Hear(await client.SubscribeAsync(_desk.Filter, MqttQualityOfServiceLevel.AtLeastOnce, lost.Token).WaitAsync(AckTime, lost.Token));
            await flight.PublishAsync(There(), lost.Token);
            await _kept.PublishAsync(flight, _words.Cursor, result.IsSessionPresent, lost.Token);
            Fault = null;
            await TellAsync(flight, lost.Token);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested && client.IsConnected)
        {
            // A normal leave drops the will, so we say ourselves that we are gone.
            using var leave = new CancellationTokenSource(AckTime);
            await flight.PublishAsync(_messages.State("stopped", _boot), leave.Token);
            await client.DisconnectAsync(new MqttClientDisconnectOptions(), leave.Token);
        }
        catch (Exception e) when (!stop.IsCancellationRequested && e is OperationCanceledException or MqttCommunicationException)
        {
            // What is being sent may notice it before the client says why.
            throw await Task.WhenAny(gone.Task, Task.Delay(AckTime, stop)) == gone.Task && _faults.Closed(clientOptions.ClientId!, await gone.Task) is { } why ? new IOException(why) : e;
        }
    }

    /// <summary>Tells what comes, and every so often that we are still there: only an acknowledgement shows that the broker is.</summary>
    private async Task TellAsync(MqttFlight flight, CancellationToken lost)
    {
        var saidAt = Environment.TickCount64;
        while (true)
        {
            if (Environment.TickCount64 - saidAt >= _options.ThereSeconds * 1000 || IsSilent() != _standing)
            {
                await flight.PublishAsync(There(), lost);
                saidAt = Environment.TickCount64;
            }

            try
            {
                await _log.WaitAfterAsync(Math.Min(_words.Cursor, _readings.Cursor), lost).WaitAsync(AckTime * 2, lost);
            }
            catch (TimeoutException)
            {
                await flight.PublishAsync(There(), lost);
                if (!_log.Commits)
                {
                    await flight.PublishAsync(_messages.LogLost(calls: !_lostTold), lost);
                    _lostTold = true;
                    if (!_standing)
                    {
                        await flight.PublishAsync(_messages.SayLogLost(), lost);
                    }
                }

                continue;
            }

            _lostTold = false;
            while (await _words.TellPageAsync(flight, lost))
            {
                // Everything else comes before the next readings.
            }

            await _readings.TellPageAsync(flight, lost);
            _faults.AllIsWell();
        }
    }

    private MqttApplicationMessage There()
    {
        _standing = IsSilent();
        return _messages.State(_standing ? "offline" : "online", _boot, _standing);
    }
}
