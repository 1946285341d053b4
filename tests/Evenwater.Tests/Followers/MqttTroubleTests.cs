using System.Net;
using Evenwater.Core.Alarms;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Contract;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging;
using MQTTnet;
using MQTTnet.Protocol;
using MQTTnet.Server;

namespace Evenwater.Tests.Followers;

/// <summary>What is wrong with a broker from the start on is told, once, and what is put right is taken without another start.</summary>
public sealed class MqttTroubleTests : IAsyncDisposable
{
    private const string Root = "evenwater/v1/sim-river/";

    private readonly LogFolder _folder = new();
    private readonly NightLog _log;
    private readonly Told _told = new();
    private readonly List<EventBody> _recorded = [];
    private readonly CancellationTokenSource _stop = new();
    private Task _following = Task.CompletedTask;

    public MqttTroubleTests()
    {
        _log = _folder.Open();
        var night = new Night(_log);
        night.Cycle();
        night.Add(EntryKind.Event, new EventBody("test", "x"));
        _log.Flush();
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _following;
        _log.Dispose();
        _stop.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public async Task A_broker_that_was_never_there_is_told_once_and_told_all_when_it_comes()
    {
        using var broker = new Mosquitto();
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.5 });
        await Following.Until(() => _told.Warnings.Count > 0);
        await Task.Delay(1500, TestContext.Current.CancellationToken);
        Assert.Contains($"127.0.0.1:{broker.Port}", Assert.Single(_told.Warnings), StringComparison.Ordinal);
        await broker.StartAsync();
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await broker.StopAsync();
        await Following.Until(() => _told.Warnings.Count == 2);
    }

    [Fact]
    public async Task A_password_that_is_missing_is_told_by_its_file_and_taken_when_it_is_there()
    {
        using var access = new BrokerAccess();
        using var broker = new Mosquitto(access.Lines);
        await broker.StartAsync();
        var follower = Follow(new() { Port = broker.Port, User = "river", PasswordFile = access["late"], CaFile = access["ca.pem"], LongestRetrySeconds = 0.5 });
        await Following.Until(() => _told.Warnings.Count > 0);
        Assert.Contains(access["late"], Assert.Single(_told.Warnings), StringComparison.Ordinal);

        // A wrong one is another trouble, and told as well.
        File.Copy(access["wrong"], access["late"]);
        await Following.Until(() => _told.Warnings.Count == 2);
        Assert.Contains("NotAuthorized", _told.Warnings[1], StringComparison.Ordinal);
        File.Copy(access["right"], access["late"], overwrite: true);
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
    }

    [Fact]
    public async Task A_broker_that_lets_no_ask_through_is_told_of_and_all_else_is_told_to_it()
    {
        using var broker = await BrokerAsync(server => server.InterceptingSubscriptionAsync += subscription =>
        {
            subscription.Response.ReasonCode = MqttSubscribeReasonCode.NotAuthorized;
            return Task.CompletedTask;
        });
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.5 });
        await Following.Until(() => follower.Behind == 0 && _recorded.Count > 0);
        var (name, text) = (Assert.Single(_recorded).Name, _recorded[0].Text);
        Assert.Equal("ask-unheard", name);
        Assert.Contains(Root + "ask/+", text, StringComparison.Ordinal);
        Assert.Contains("not even a close", text, StringComparison.Ordinal);
        Assert.Null(follower.Fault);
    }

    /// <summary>Else it comes back at once, for ever, and tells the standing alarms each time.</summary>
    [Fact]
    public async Task A_broker_that_refuses_one_topic_is_come_back_to_less_and_less_often()
    {
        var connections = 0;
        using var broker = await BrokerAsync(server =>
        {
            server.ClientConnectedAsync += _ => Task.FromResult(Interlocked.Increment(ref connections));
            server.InterceptingPublishAsync += publication =>
            {
                var refused = publication.ApplicationMessage.Topic.EndsWith("/readings", StringComparison.Ordinal);
                (publication.ProcessPublish, publication.Response.ReasonCode) = (!refused, refused ? MqttPubAckReasonCode.NotAuthorized : MqttPubAckReasonCode.Success);
                return Task.CompletedTask;
            };
        });
        Follow(new() { Port = broker.Port, LongestRetrySeconds = 30 });
        await Task.Delay(5000, TestContext.Current.CancellationToken);

        // Waits of 0.05 to 0.1 s, doubled each time: at least 0.05, 0.1, 0.2 and so on, of which six make more than 3 s and seven more than 6 s.
        Assert.InRange(connections, 2, 8);
        Assert.Contains("readings: NotAuthorized", Assert.Single(_told.Warnings), StringComparison.Ordinal);
    }

    /// <summary>A line that comes and goes must not ring all night; a broker that has forgotten us may have lost what it was told.</summary>
    [Fact]
    public async Task A_call_rings_once_though_the_line_breaks_and_again_when_the_broker_has_forgotten_us()
    {
        var called = new System.Collections.Concurrent.ConcurrentQueue<string>();
        var connections = 0;
        using var broker = await BrokerAsync(
            server =>
            {
                server.ClientConnectedAsync += _ => Task.FromResult(Interlocked.Increment(ref connections));
                server.InterceptingPublishAsync += publication =>
                {
                    if (publication.ApplicationMessage.Topic == Root + "alarm/probe-trouble") called.Enqueue(publication.ApplicationMessage.ConvertPayloadToString());
                    return Task.CompletedTask;
                };
            },
            options => options.WithPersistentSessions());
        var night = new Night(_log);
        var trouble = new AlarmBody("probe-trouble", AlarmStanding.Unacknowledged, AlarmPriority.Medium, "A probe is not believed", "x", "y") { Calls = true, Consequence = "z" };
        night.Add(EntryKind.Alarm, trouble with { UnseenCalls = 2 });
        night.Add(EntryKind.Alarm, trouble with { UnseenCalls = 3 }); // while the broker was away: one ring tells it
        _log.Flush();
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.2 });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        Assert.Equal(1, Rings());

        for (var again = 2; again < 4; again++)
        {
            await broker.Server.DisconnectClientAsync((await broker.Server.GetClientsAsync()).Single().Id);
            await AgainAsync(again);
            Assert.Equal(1, Rings());
        }

        await (await broker.Server.GetSessionsAsync()).Single().DeleteAsync();
        await AgainAsync(4);
        Assert.Equal(2, Rings());

        int Rings() => called.Count(text => text.Contains("\"calls\":true", StringComparison.Ordinal));

        async Task AgainAsync(int connection)
        {
            await Following.Until(() => connections == connection);
            night.Add(EntryKind.Event, new EventBody("test", "told after how things stand"));
            _log.Flush();
            await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        }
    }

    /// <summary>A worn card holds up a commit for seconds, and a telephone may have written several notes.</summary>
    [Fact]
    public async Task A_close_waits_behind_no_note_that_the_disk_holds_up()
    {
        using var broker = new Mosquitto();
        await broker.StartAsync();
        using var held = new SemaphoreSlim(0);
        var asked = new System.Collections.Concurrent.ConcurrentQueue<string>();
        var follower = Follow(new() { Port = broker.Port }, async ask =>
        {
            asked.Enqueue(ask.Verb);
            if (ask.Verb == "note")
            {
                await held.WaitAsync(TimeSpan.FromSeconds(10));
            }

            return new Answer(true, ask.Verb);
        });
        await Following.Until(() => follower.Fault is null);
        await using var listener = await Listener.StartAsync(broker.Port, Root + "answer/phone");
        for (var i = 0; i < 3; i++)
        {
            await PublishAsync(broker.Port, Desks.Message("note", """{"kind":"feed"}"""));
        }

        await Following.Until(() => asked.Contains("note"));
        await PublishAsync(broker.Port, Desks.Message("close", ""));
        await Following.Until(() => asked.Contains("close"), 2);
        held.Release(3);
        await Following.Until(() => listener.Heard.Count == 4);
        Assert.Equal(3, listener.Heard.Count(m => m.ConvertPayloadToString().Contains("\"verb\":\"note\"", StringComparison.Ordinal)));
    }

    /// <summary>A station that stands still, and a log that can not be written, say so after five seconds (StationDirectory, NoteDesk).</summary>
    [Fact]
    public async Task Who_can_not_obey_is_heard_in_words_of_its_own()
    {
        using var broker = new Mosquitto();
        await broker.StartAsync();
        var follower = Follow(new() { Port = broker.Port }, async ask =>
        {
            await Task.Delay(TimeSpan.FromSeconds(5.2));
            return new Answer(false, $"{ask.Station} stands still");
        });
        await Following.Until(() => follower.Fault is null);
        await using var listener = await Listener.StartAsync(broker.Port, Root + "answer/phone");
        await PublishAsync(broker.Port, Desks.Message("close", ""));
        Assert.Contains("sim-river stands still", (await listener.WaitForAsync(_ => true)).ConvertPayloadToString(), StringComparison.Ordinal);
    }

    /// <summary>A log that fills its disk is told past the log; who then starts the program anew with room again has a log that never knew of it.</summary>
    [Fact]
    public async Task An_alarm_that_was_told_past_the_log_does_not_stand_at_the_broker_for_ever()
    {
        using var broker = new Mosquitto();
        await broker.StartAsync();
        await PublishAsync(broker.Port, new MqttMessages("sim-river", _log.Reader.Identity()).LogLost(calls: true));
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.5 });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await using var late = await Listener.StartAsync(broker.Port, Root + "alarm/log-lost");
        var kept = await late.WaitForAsync(m => m.Retain);
        var text = kept.ConvertPayloadToString();
        Assert.Contains("\"state\":\"normal\"", text, StringComparison.Ordinal);
        Assert.Contains("\"calls\":false", text, StringComparison.Ordinal);
        Assert.Null(new MqttContract().Problem(kept));
    }

    /// <summary>A damaged log is set aside, and what it knew of the alarms with it; the broker keeps the last word of it all the same.</summary>
    [Fact]
    public async Task What_the_broker_keeps_of_a_log_that_was_set_aside_is_cleared()
    {
        using var broker = new Mosquitto();
        await broker.StartAsync();
        new Night(_log).Add(EntryKind.Alarm, new AlarmBody("probe-trouble", AlarmStanding.Unacknowledged, AlarmPriority.Medium, "A probe is not believed", "x", "y") { Calls = true });
        _log.Flush();
        var follower = Follow(new() { Port = broker.Port });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await _stop.CancelAsync();
        await _following;

        using var folder = new LogFolder();
        using var log = NightLog.Open(folder.Path, pace: LogFolder.Quick, begunAnew: "The log was damaged.");
        new Night(log).Add(EntryKind.Alarm, new AlarmBody("blind", AlarmStanding.Unacknowledged, AlarmPriority.High, "The probes no longer say enough", "x", "y") { Consequence = "z" });
        log.Flush();
        using var stop = new CancellationTokenSource();
        var anew = new MqttFollower(log, "sim-river", 1, new() { Port = broker.Port }, Desks.Of("sim-river"), (_, _) => Task.FromResult(new Answer(true, "")), _ => { }, _told);
        var following = anew.RunAsync(stop.Token);
        await Following.Until(() => anew.Fault is null && anew.Behind == 0);
        await using var late = await Listener.StartAsync(broker.Port, Root + "alarm/+");
        await Following.Until(() => late.Heard.Count == AlarmTable.All.Count);
        await stop.CancelAsync();
        await following;
        var contract = new MqttContract();
        Assert.All(late.Heard, m =>
        {
            Assert.Null(contract.Problem(m));
            Assert.Contains(m.Topic.EndsWith("/blind", StringComparison.Ordinal) ? "\"unacknowledged\"" : "\"normal\"", m.ConvertPayloadToString(), StringComparison.Ordinal);
        });
    }

    /// <summary>A worn card gives back a row that is no longer what was written; what comes after it must be told all the same.</summary>
    [Fact]
    public async Task A_row_that_can_not_be_read_holds_up_nothing_that_comes_after_it()
    {
        var night = new Night(_log);
        var spoilt = night.Add(EntryKind.Alarm, new AlarmBody("blind", AlarmStanding.Unacknowledged, AlarmPriority.High, "x", "y", "z") { Consequence = "c" });
        _log.Flush();
        using (var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = $"UPDATE entry SET body = '{{\"name\":\"blind\",\"state\":7x' WHERE id = {spoilt}";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }

        var after = night.Add(EntryKind.Alarm, new AlarmBody("leak", AlarmStanding.Unacknowledged, AlarmPriority.Critical, "x", "y", "z") { Consequence = "c" });
        _log.Flush();
        using var broker = new Mosquitto();
        await broker.StartAsync();
        await using var listener = await Listener.StartAsync(broker.Port, Root + "event");
        var follower = Follow(new() { Port = broker.Port });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await listener.WaitForAsync(m => Listener.Sequence(m) == after);
        Assert.Contains(_told.Warnings, text => text.Contains($"entry {spoilt} ", StringComparison.Ordinal));
        Assert.All(_recorded, one => Assert.Equal("not-told", one.Name));
        Assert.InRange(_recorded.Count, 1, 2); // the entry, and how the alarms stand
    }

    [Fact]
    public async Task Readings_that_had_to_make_room_before_the_broker_had_them_are_told_of_once()
    {
        var night = new Night(_log);
        for (var i = 0; i < 20; i++)
        {
            night.Cycle();
        }

        _log.Flush();
        _log.MoveCursor("mqtt/sim-river/readings", 5);
        using (var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            // As the log itself lets go of its oldest.
            other.Open();
            using var drop = other.CreateCommand();
            drop.CommandText = "DELETE FROM batch; UPDATE space SET dropped_to = 22";
            drop.ExecuteNonQuery();
        }

        using var broker = await BrokerAsync(_ => { });
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.2 });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await broker.Server.DisconnectClientAsync((await broker.Server.GetClientsAsync()).Single().Id);
        night.Cycle();
        _log.Flush();
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        var told = Assert.Single(_recorded);
        Assert.Equal(MqttFollower.NotTold, told.Name);
        Assert.StartsWith("Readings between entries 5 and 22 had to make room", told.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Readings_that_can_not_be_read_hold_up_nothing_that_comes_after_them()
    {
        using (var other = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={_folder.File};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = "UPDATE batch SET columns = x'0000'";
            Assert.Equal(1, spoil.ExecuteNonQuery());
        }

        var readings = new System.Collections.Concurrent.ConcurrentQueue<string>();
        using var broker = await BrokerAsync(server => server.InterceptingPublishAsync += publication =>
        {
            if (publication.ApplicationMessage.Topic == Root + "readings") readings.Enqueue(publication.ClientId);
            return Task.CompletedTask;
        });
        new Night(_log).Cycle();
        _log.Flush();
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.2 });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        Assert.Single(readings);
        var told = Assert.Single(_recorded);
        Assert.Equal((MqttFollower.NotTold, true), (told.Name, told.Text.StartsWith("The log is damaged: what was read between entries 1 and 1 can not be read", StringComparison.Ordinal)));
    }

    [Fact]
    public async Task Where_the_log_knows_how_that_alarm_stands_its_word_is_kept()
    {
        new Night(_log).Add(EntryKind.Alarm, new AlarmBody("log-lost", AlarmStanding.Unacknowledged, AlarmPriority.High, "The log can not be written", "x", "y"));
        _log.Flush();
        using var broker = new Mosquitto();
        await broker.StartAsync();
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.5 });
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await using var late = await Listener.StartAsync(broker.Port, Root + "alarm/log-lost");
        Assert.Contains("\"state\":\"unacknowledged\"", (await late.WaitForAsync(m => m.Retain)).ConvertPayloadToString(), StringComparison.Ordinal);
    }

    private MqttFollower Follow(MqttOptions options, Func<Ask, Task<Answer>>? obey = null)
    {
        var follower = new MqttFollower(
            _log, "sim-river", 1, options with { AckSeconds = 5, RetrySeconds = 0.1 },
            Desks.Of("sim-river"), (ask, _) => obey?.Invoke(ask) ?? Task.FromResult(new Answer(true, "")), _recorded.Add, _told);
        _following = follower.RunAsync(_stop.Token);
        return follower;
    }

    private static async Task PublishAsync(int port, MqttApplicationMessage message)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500).Build());
        await client.PublishAsync(message);
    }

    /// <summary>A broker in this process: what mosquitto's list of rights does not refuse it can.</summary>
    private static async Task<OwnBroker> BrokerAsync(Action<MqttServer> with, Action<MqttServerOptionsBuilder>? how = null)
    {
        var port = ServerProcess.FreePort();
        var options = new MqttServerOptionsBuilder()
            .WithDefaultEndpoint().WithDefaultEndpointPort(port).WithDefaultEndpointBoundIPAddress(IPAddress.Loopback).WithDefaultEndpointBoundIPV6Address(IPAddress.None);
        how?.Invoke(options);
        var server = new MqttServerFactory().CreateMqttServer(options.Build());
        with(server);
        await server.StartAsync();
        return new OwnBroker(server, port);
    }

    private sealed record OwnBroker(MqttServer Server, int Port) : IDisposable
    {
        public void Dispose() => Server.Dispose();
    }

    private sealed class Told : ILogger
    {
        private readonly Lock _gate = new();
        private readonly List<string> _warnings = [];

        public List<string> Warnings
        {
            get
            {
                lock (_gate)
                {
                    return [.. _warnings];
                }
            }
        }

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
        {
            lock (_gate)
            {
                if (logLevel >= LogLevel.Warning)
                {
                    _warnings.Add(formatter(state, exception));
                }
            }
        }
    }
}
