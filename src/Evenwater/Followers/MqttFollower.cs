using System.Globalization;
using System.Text.Json;
using Evenwater.Core.Alarms;
using Evenwater.Log;
using Evenwater.Log.Blocks;
using Evenwater.Running;
using Microsoft.Data.Sqlite;
using MQTTnet;
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

    private const int MostReasons = 5;

    /// <summary>
    /// A call that the broker has acknowledged is not told anew within this at another connection, unless the broker has forgotten our session: a line that comes and goes would ring all
    /// night. Afterwards it is, since a broker that crashed may have lost it. As often as a critical alarm calls that nobody has seen.
    /// </summary>
    private static readonly TimeSpan CallsAgain = TimeSpan.FromMinutes(10);

    /// <summary>Longer than those who obey take to say in their own words why they can not.</summary>
    private static readonly TimeSpan HandlingTime = TimeSpan.FromSeconds(8);

    private readonly NightLog _log;
    private readonly string _station;
    private readonly MqttOptions _options;
    private readonly AskDesk _desk;
    private readonly Func<Ask, CancellationToken, Task<Answer>> _obey;
    private readonly Action<EventBody> _record;
    private readonly ILogger _logger;
    private readonly MqttMessages _messages;
    private readonly string _boot;
    private readonly MqttHistory _history;
    private readonly MqttLane _words;
    private readonly MqttLane _readings;
    private readonly Dictionary<string, long> _current = [];
    private readonly Dictionary<string, (long Id, long At)> _called = [];
    private readonly HashSet<string> _reasons = [];
    private readonly HashSet<string> _unread = [];
    private bool _lostTold;
    private bool _unheardTold;

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
        (_log, _station, _options, _desk, _obey, _record, _logger) = (log, station, options, desk, obey, record, logger);
        _messages = new MqttMessages(station, log.Reader.Identity());
        _boot = log.Reader.BootToken(bootId);
        _history = new MqttHistory(log, station, _messages);
        _words = new MqttLane(log, $"mqtt/{station}", station, cycles: false, entry => Messages(entry, current: false));
        _readings = new MqttLane(log, $"mqtt/{station}/readings", station, cycles: true, entry => Messages(entry, current: false)) { Gone = Gone, Damaged = Damaged };
    }

    /// <summary>Why nothing is being told just now; null while all is well.</summary>
    public string? Fault { get; private set; } = "not connected yet";

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
                Fault = e is OperationCanceledException ? "the connection was lost" : e.Message;
                if (!stop.IsCancellationRequested)
                {
                    Warn(Fault);
                }
            }

            if (Environment.TickCount64 - began > _options.LongestRetrySeconds * 1000)
            {
                backoff.Reset(); // One that was refused as soon as it was there has not been good.
            }

            await Task.Delay(backoff.Next(), stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    /// <summary>Each reason once until all is well again, the first of the start too.</summary>
    private void Warn(string reason)
    {
        if (_reasons.Count < MostReasons && _reasons.Add(reason))
        {
            _logger.LogWarning("nothing is told to the MQTT broker {Host}:{Port} ({Reason}); the log keeps all until it can be", _options.Host, _options.Port, reason);
        }
    }

    private void AllIsWell()
    {
        if (_reasons.Count > 0)
        {
            _reasons.Clear();
            _logger.LogInformation("the MQTT broker {Host}:{Port} is told again", _options.Host, _options.Port);
        }
    }

    /// <summary>One connection, from its birth until it is lost (which throws) or we are stopped.</summary>
    private async Task ConnectionAsync(MqttClientOptions clientOptions, CancellationToken stop)
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
        var connected = new TaskCompletionSource<MqttFlight>(TaskCreationOptions.RunContinuationsAsynchronously);
        client.ApplicationMessageReceivedAsync += async e => await AnswerAsync(await connected.Task.WaitAsync(lost.Token), e.ApplicationMessage, lost.Token);

        var result = await client.ConnectAsync(clientOptions, lost.Token).WaitAsync(AckTime, lost.Token); // given a token, it has no limit of its own
        if (result.ResultCode != MqttClientConnectResultCode.Success)
        {
            throw new IOException($"the broker refuses us: {result.ResultCode} {result.ReasonString}");
        }

        var flight = new MqttFlight(client, result.ReceiveMaximum ?? 0, AckTime);
        connected.SetResult(flight);
        try
        {
            Hear(await client.SubscribeAsync(_desk.Filter, MqttQualityOfServiceLevel.AtLeastOnce, lost.Token).WaitAsync(AckTime, lost.Token));
            await flight.PublishAsync(_messages.State("online", _boot), lost.Token);
            await PublishCurrentAsync(flight, result.IsSessionPresent, lost.Token);
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
    }

    /// <summary>A broker may take all that is told and let no ask through: who trusts in a close from afar must know.</summary>
    private void Hear(MqttClientSubscribeResult granted)
    {
        if (!_unheardTold && granted.Items.FirstOrDefault(i => i.ResultCode > MqttClientSubscribeResultCode.GrantedQoS2) is { } refused)
        {
            _unheardTold = true;
            var text = $"The MQTT broker {_options.Host}:{_options.Port} does not let this daemon read {_desk.Filter} ({refused.ResultCode}): nothing that is asked over MQTT is heard, not even a close. "
                + "All else is told. Give the daemon's user the right to read there.";
            _logger.LogWarning("{Text}", text);
            _record(new EventBody("ask-unheard", text));
        }
    }

    /// <summary>Tells what comes, and every so often that we are still there: only an acknowledgement shows that the broker is.</summary>
    private async Task TellAsync(MqttFlight flight, CancellationToken lost)
    {
        var saidAt = Environment.TickCount64;
        while (true)
        {
            if (Environment.TickCount64 - saidAt >= _options.ThereSeconds * 1000)
            {
                await flight.PublishAsync(_messages.State("online", _boot), lost);
                saidAt = Environment.TickCount64;
            }

            try
            {
                await _log.WaitAfterAsync(Math.Min(_words.Cursor, _readings.Cursor), lost).WaitAsync(AckTime * 2, lost);
            }
            catch (TimeoutException)
            {
                await flight.PublishAsync(_messages.State("online", _boot), lost);
                if (!_log.Commits)
                {
                    await flight.PublishAsync(_messages.LogLost(calls: !_lostTold), lost);
                    _lostTold = true;
                }

                continue;
            }

            _lostTold = false;
            while (await _words.TellPageAsync(flight, lost))
            {
                // Everything else comes before the next readings.
            }

            await _readings.TellPageAsync(flight, lost);
            AllIsWell();
        }
    }

    /// <summary>The state that the broker is to keep, first of all and again at each connection: a broker that crashed may have lost it.</summary>
    private async Task PublishCurrentAsync(MqttFlight flight, bool remembered, CancellationToken lost)
    {
        if (Current() is not { } current)
        {
            return;
        }

        foreach (var entry in current)
        {
            if (Messages(entry, current: true).FirstOrDefault() is { } message && !(remembered && HasJustCalled(entry)))
            {
                await flight.PublishAsync(message, lost);
                _current[MqttMessages.CurrentTopic(entry)!] = entry.Id;
                Calls(entry);
            }
        }

        // An earlier life may have told of its log past it, and ended before it could be written again; and of a log that was set aside the broker keeps every alarm.
        foreach (var row in AlarmTable.All.Where(row => !_current.ContainsKey(MqttMessages.TopicOf(row.Name)) && (row.Id == AlarmId.LogLost ? _log.Commits : _log.BegunAnew is not null)))
        {
            await flight.PublishAsync(_messages.NotStanding(row), lost);
        }
    }

    private void Calls(Entry entry)
    {
        if (entry.Kind == EntryKind.Alarm && LogJson.Read<AlarmBody>(entry.Body!) is { Calls: true } alarm)
        {
            _called[MqttMessages.TopicOf(alarm.Name)] = (entry.Id, Environment.TickCount64);
        }
    }

    /// <summary>Whether the broker has acknowledged this call, not long ago.</summary>
    private bool HasJustCalled(Entry entry) =>
        entry.Kind == EntryKind.Alarm && MqttMessages.CurrentTopic(entry) is { } topic
        && _called.TryGetValue(topic, out var called) && called.Id == entry.Id && Environment.TickCount64 - called.At < CallsAgain.TotalMilliseconds
        && (entry.Id <= _words.Cursor || _current.GetValueOrDefault(topic) == entry.Id);

    private List<Entry>? Current()
    {
        try
        {
            return [.. _log.Reader.Alarms(_station).Append(_log.Reader.Last(_station, EntryKind.Say)).Append(_log.Reader.Last(_station, EntryKind.Forecast)).OfType<Entry>()];
        }
        catch (SqliteException e)
        {
            Unread("how the alarms stand", e);
            return null;
        }
    }

    /// <summary>None of an entry that is no longer what was written: it must not hold up what comes after it.</summary>
    private IEnumerable<MqttApplicationMessage> Messages(Entry entry, bool current)
    {
        try
        {
            var topic = MqttMessages.CurrentTopic(entry);
            var newest = topic is null ? 0 : _current.GetValueOrDefault(topic);
            var superseded = !current && (newest > entry.Id || (newest == entry.Id && entry.Kind == EntryKind.Alarm));
            if (!current && !superseded)
            {
                Calls(entry);
            }

            return [.. _messages.Of(entry, _log.Reader.Configuration(entry.ConfigurationId), superseded)];
        }
        catch (Exception e) when (e is JsonException or InvalidDataException or InvalidOperationException)
        {
            Unread($"entry {entry.Id}", e);
            return [];
        }
    }

    private void Gone(long from, long to)
    {
        var text = string.Create(CultureInfo.InvariantCulture, $"Readings between entries {from} and {to} had to make room in the log before the MQTT broker {_options.Host}:{_options.Port} had them. They will never be told; their minutes stand in the history here. ")
            + "Give the log more room (store.budgetMegabytes, or the disk), or see that the broker is not away for so long.";
        _logger.LogWarning("{Text}", text);
        _record(new EventBody(NotTold, text));
    }

    private void Damaged(BlockRow row)
    {
        if (_log.Reader.StationOf(row.ConfigurationId) == _station)
        {
            Unread(string.Create(CultureInfo.InvariantCulture, $"what was read between entries {row.FirstId} and {row.LastId}"), null);
        }
    }

    private void Unread(string what, Exception? e)
    {
        if (_unread.Count < MostReasons && _unread.Add(what))
        {
            var text = $"The log is damaged: {what} can not be read{(e is null ? "" : $" ({e.Message})")} and is not told over MQTT. All else is. Put the log on another card: stop the program, and keep the file.";
            _logger.LogWarning("{Text}", text);
            _record(new EventBody(NotTold, text));
        }
    }

    private async Task AnswerAsync(MqttFlight flight, MqttApplicationMessage message, CancellationToken lost)
    {
        var judged = _desk.Judge(message);
        var answering = AnswerAsync(judged, flight, message, lost);
        if (judged.Ask is not { Verb: "note" })
        {
            await answering;
            return;
        }

        // It waits for the disk, and what comes after it may be a close.
        _ = answering.ContinueWith(
            t => _logger.LogWarning("a note that was asked over MQTT could not be answered: {Reason}", t.Exception!.InnerException!.Message),
            CancellationToken.None, TaskContinuationOptions.OnlyOnFaulted, TaskScheduler.Default);
    }

    private async Task AnswerAsync(Judged judged, MqttFlight flight, MqttApplicationMessage message, CancellationToken lost)
    {
        var answer = new Answer(judged.Challenge is not null, judged.Problem ?? judged.Challenge?.Shown ?? "");
        if (judged.Ask is { } ask)
        {
            answer = await ObeyAsync(ask, lost);
            answer = judged.Problem is { } problem ? answer with { Text = $"{answer.Text} ({problem}; ignored)" } : answer;
        }

        foreach (var happened in judged.Events)
        {
            _record(happened);
        }

        if (judged.Unheard)
        {
            return;
        }

        if (_desk.AnswerTopic(message).Topic is { } topic)
        {
            if (judged.Since is { } since)
            {
                if (_history.Begin(since, topic, message.CorrelationData, flight, e => _logger.LogWarning("telling events once more broke off: {Reason}", e.Message), lost) is not { } busy)
                {
                    return;
                }

                answer = new Answer(false, busy);
            }

            var verb = message.Topic[(message.Topic.LastIndexOf('/') + 1)..];
            await flight.PublishAsync(_messages.Answer(topic, message.CorrelationData, verb, answer, judged.Challenge), lost);
        }
    }

    private async Task<Answer> ObeyAsync(Ask ask, CancellationToken lost)
    {
        try
        {
            // Not tied to the connection: a close goes on when the line drops.
            using var enough = new CancellationTokenSource(HandlingTime);
            return await _obey(ask, enough.Token).WaitAsync(HandlingTime, lost);
        }
        catch (Exception e)
        {
            _logger.LogError(e, "{Verb} asked over MQTT by {By} failed", ask.Verb, ask.By);
            return new Answer(false, $"failed: {e.Message}");
        }
    }
}
