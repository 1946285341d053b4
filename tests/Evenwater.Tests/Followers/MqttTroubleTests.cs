using Evenwater.Core.Alarms;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using MQTTnet;
using MQTTnet.Protocol;
using MQTTnet.Server;

namespace Evenwater.Tests.Followers;

/// <summary>What is wrong with a broker from the start on is told, once, and what is put right is taken without another start.</summary>
public sealed class MqttTroubleTests : MqttTrouble
{
    /// <summary>It is obeyed all the same: who looks why the line dropped must not read that the close failed.</summary>
    [Fact]
    public async Task A_close_that_the_line_drops_during_is_not_told_to_have_failed()
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        using var lost = new CancellationTokenSource();
        var messages = new MqttMessages("sim-river", "log");
        var obeyed = new TaskCompletionSource<Answer>();
        var answers = new MqttAnswers(Desks.Of("sim-river"), (_, _) => obeyed.Task, Recorded.Add, messages, new MqttHistory(Log, "sim-river", messages), Heard);
        var answering = answers.AnswerAsync(new MqttFlight(client, 0, TimeSpan.FromSeconds(5)), Desks.Message("close", "", answer: null), lost.Token);
        await lost.CancelAsync();
        await answering;
        Assert.Equal("the line to the MQTT broker was lost before close, asked by mqtt, was answered; it is done or refused all the same, and the log tells which", Assert.Single(Heard.Warnings));
    }

    [Fact]
    public async Task A_broker_that_was_never_there_is_told_once_and_told_all_when_it_comes()
    {
        using var broker = new Mosquitto();
        var follower = Follow(new() { Port = broker.Port, LongestRetrySeconds = 0.5 });
        await Following.Until(() => Heard.Warnings.Count > 0);
        await Task.Delay(1500, TestContext.Current.CancellationToken);
        Assert.Contains($"127.0.0.1:{broker.Port}", Assert.Single(Heard.Warnings), StringComparison.Ordinal);
        await broker.StartAsync();
        await Following.Until(() => follower.Fault is null && follower.Behind == 0);
        await broker.StopAsync();
        await Following.Until(() => Heard.Warnings.Count == 2);
    }

    /// <summary>A copy of the log on another computer has its identity, hence our name at the broker. One broker says why it closes (MQTT 5, section 3.14.2.1, 0x8E), mosquitto 2.0.11 only closes.</summary>
    [Theory]
    [InlineData(true, 1, "Another program has signed in")]
    [InlineData(false, 3, "3 times one soon after the other: most likely another program signs in")]
    public async Task Another_program_under_the_same_name_is_told_of_once(bool says, int times, string expected)
    {
        using var silent = new Mosquitto();
        using var broker = says ? await BrokerAsync(_ => { }) : null;
        if (broker is null) await silent.StartAsync();
        var port = broker?.Port ?? silent.Port;
        var follower = Follow(new() { Port = port, LongestRetrySeconds = 5 });
        var name = $"evenwater-sim-river-{Log.Reader.Identity()[..8]}";
        for (var i = 1; i <= times + 1; i++)
        {
            Assert.Equal(i > times ? 1 : 0, Recorded.Count);
            await Following.Until(() => follower.Fault is null);
            using var other = new MqttClientFactory().CreateMqttClient();
            await other.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithClientId(name).WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500).Build(), TestContext.Current.CancellationToken);
            await Following.Until(() => follower.Fault is not null);
            Assert.Contains("under our name", follower.Fault, StringComparison.Ordinal);
        }

        Assert.Equal("name-taken", Assert.Single(Recorded).Name);
        Assert.Contains(expected, Recorded[0].Text, StringComparison.Ordinal);
        Assert.Contains(name, Recorded[0].Text, StringComparison.Ordinal);
    }

    /// <summary>After one silent closing a takeover was the second of its count, and told of by nobody.</summary>
    [Fact]
    public void However_a_broker_closes_the_taken_name_is_told_of_once()
    {
        List<EventBody> told = [];
        var faults = new MqttFaults(Log, "sim-river", new MqttOptions(), "evenwater/v1/sim-river/ask/#", told.Add, Microsoft.Extensions.Logging.Abstractions.NullLogger.Instance);
        Close(MqttClientDisconnectReason.NormalDisconnection);
        Assert.Empty(told);
        Close(MqttClientDisconnectReason.SessionTakenOver);
        Assert.Single(told);
        for (var i = 0; i < 4; i++) Close(MqttClientDisconnectReason.NormalDisconnection);
        Assert.Single(told);
        faults.Lasted();
        Close(MqttClientDisconnectReason.SessionTakenOver);
        Assert.Equal(2, told.Count);

        void Close(MqttClientDisconnectReason reason) => Assert.Contains("under our name", faults.Closed("evenwater-sim-river", reason), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_password_that_is_missing_is_told_by_its_file_and_taken_when_it_is_there()
    {
        using var access = new BrokerAccess();
        using var broker = new Mosquitto(access.Lines);
        await broker.StartAsync();
        var follower = Follow(new() { Port = broker.Port, User = "river", PasswordFile = access["late"], CaFile = access["ca.pem"], LongestRetrySeconds = 0.5 });
        await Following.Until(() => Heard.Warnings.Count > 0);
        Assert.Contains(access["late"], Assert.Single(Heard.Warnings), StringComparison.Ordinal);

        // A wrong one is another trouble, and told as well.
        File.Copy(access["wrong"], access["late"]);
        await Following.Until(() => Heard.Warnings.Count == 2);
        Assert.Contains("NotAuthorized", Heard.Warnings[1], StringComparison.Ordinal);
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
        await Following.Until(() => follower.Behind == 0 && Recorded.Count > 0);
        var (name, text) = (Assert.Single(Recorded).Name, Recorded[0].Text);
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
        Assert.Contains("readings: NotAuthorized", Assert.Single(Heard.Warnings), StringComparison.Ordinal);

        // Nobody would know: an event once, and an alarm for as long as it lasts.
        var told = Assert.Single(Recorded);
        Assert.Equal(MqttFollower.NotTold, told.Name);
        Assert.Contains("readings: NotAuthorized). What it refuses and what comes after is not told there, and an alarm may reach nobody", told.Text, StringComparison.Ordinal);
        Assert.InRange(Refusals, 2, 8);
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
        var night = new Night(Log);
        var trouble = new AlarmBody("probe-trouble", AlarmStanding.Unacknowledged, Priority.Medium, "A probe is not believed", "x", "y") { Calls = true, Consequence = "z" };
        night.Add(EntryKind.Alarm, trouble with { UnseenCalls = 2 });
        night.Add(EntryKind.Alarm, trouble with { UnseenCalls = 3 }); // while the broker was away: one ring tells it
        Log.Flush();
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
            Log.Flush();
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
}
