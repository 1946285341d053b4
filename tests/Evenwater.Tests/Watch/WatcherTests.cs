using System.Text.Json;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Options;
using Evenwater.Running;
using Evenwater.Tests.Contract;
using Evenwater.Tests.Documents;
using Evenwater.Tests.Followers;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Evenwater.Watch;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;

namespace Evenwater.Tests.Watch;

/// <summary>The watcher, a real daemon's follower and a real mosquitto; a silence of 1.5 s in place of minutes.</summary>
public sealed class WatcherTests : IAsyncDisposable
{
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(1.5);

    private readonly LogFolder _folder = new();
    private readonly Mosquitto _broker = new();
    private readonly CancellationTokenSource _stop = new();
    private Task _watching = Task.CompletedTask;

    private string Rung => Path.Combine(_folder.Path, "rung");

    private int Rings => File.Exists(Rung) ? File.ReadAllLines(Rung).Length : 0;

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _watching;
        _stop.Dispose();
        _broker.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public async Task A_daemon_that_falls_silent_is_told_once_and_cleared_when_it_is_heard_again()
    {
        await _broker.StartAsync();
        await using var listener = await Listener.StartAsync(_broker.Port, "evenwater/v1/+/alarm/silent");
        using var log = _folder.Open();
        await PublishAsync(new MqttMessages("sim-old", "log").State("stopped", Guid.Empty.ToString()));
        Watch("+");
        await using (Follow(log))
        {
            // One that was taken out and cleared by hand (config/README.md) is no daemon that spoke, and none that is silent.
            await Task.Delay(300, TestContext.Current.CancellationToken);
            await PublishAsync(new MqttApplicationMessageBuilder().WithTopic("evenwater/v1/sim-old/state").WithRetainFlag().Build());
            await Task.Delay(Limit * 1.7, TestContext.Current.CancellationToken);
            Assert.Empty(listener.Heard);
        }

        var raised = await listener.WaitForAsync(_ => true, 10);
        var contract = new MqttContract();
        Assert.Null(contract.Problem(raised));
        using (var json = JsonDocument.Parse(raised.ConvertPayloadToString()))
        {
            var said = json.RootElement;
            Assert.Equal(("unacknowledged", "high", true, "within minutes"), (said.GetProperty("state").GetString(), said.GetProperty("priority").GetString(), said.GetProperty("calls").GetBoolean(), said.GetProperty("howSoon").GetString()));
            Assert.All(["title", "did", "do", "byWhen"], key => Assert.False(string.IsNullOrWhiteSpace(said.GetProperty(key).GetString()), key));
        }

        // Another watcher hears what the broker keeps, and a will; neither is the daemon.
        var second = new Watcher(Options, ["+"], Limit, new Bell(null, NullLogger.Instance), TimeProvider.System, NullLogger.Instance).RunAsync(_stop.Token);
        await PublishAsync(new MqttMessages("sim-river", "log").State("offline", Guid.Empty.ToString()));
        await Task.Delay(Limit * 1.3, TestContext.Current.CancellationToken);
        Assert.Single(listener.Heard);

        await using (Follow(log))
        {
            var cleared = await listener.WaitForAsync(m => m.ConvertPayloadToString().Contains("\"state\":\"normal\"", StringComparison.Ordinal), 10);
            Assert.Null(contract.Problem(cleared));
            Assert.Contains("\"calls\":false", cleared.ConvertPayloadToString(), StringComparison.Ordinal);
        }

        await _stop.CancelAsync();
        await second;
    }

    /// <summary>A broker that drops its watcher again and again hands out what it kept each time; a silence counts on over it.</summary>
    [Fact]
    public async Task What_the_broker_kept_is_not_heard_however_often_it_is_handed_out()
    {
        await _broker.StartAsync();
        await PublishAsync(new MqttMessages("sim-river", "log").State("online", Guid.Empty.ToString()));
        await using var listener = await Listener.StartAsync(_broker.Port, "evenwater/v1/+/alarm/silent");
        await using var relay = new Relay(_broker.Port, TimeSpan.Zero, seed: 1);
        var watching = new Watcher(Options with { Port = relay.Port }, ["sim-river"], Limit, new Bell(null, NullLogger.Instance), TimeProvider.System, NullLogger.Instance).RunAsync(_stop.Token);
        for (var i = 0; i < 15 && listener.Heard.Count == 0; i++)
        {
            // Longer than the grace after a connection, shorter than a silence may last.
            await Task.Delay(Limit * 0.75, TestContext.Current.CancellationToken);
            relay.Cut();
        }

        Assert.Contains("\"state\":\"unacknowledged\"", listener.Heard[0].ConvertPayloadToString(), StringComparison.Ordinal);
        Assert.True(relay.Connections > 1, "it was dropped before");
        await _stop.CancelAsync();
        await watching;
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task A_broker_that_is_gone_or_does_not_answer_rings_once_a_silence(bool hangs)
    {
        await _broker.StartAsync();
        Watch("sim-river");
        await Task.Delay(500, TestContext.Current.CancellationToken);
        for (var silence = 1; silence <= (hangs ? 1 : 2); silence++)
        {
            await (hangs ? _broker.PauseAsync() : _broker.KillAsync());
            await Following.Until(() => Rings == silence, 15);
            await Task.Delay(Limit * 1.5, TestContext.Current.CancellationToken);
            Assert.Equal(silence, Rings);
            await (hangs ? _broker.ContinueAsync() : _broker.StartAsync());
            await using var listener = await Listener.StartAsync(_broker.Port, "evenwater/v1/+/alarm/silent");
            await listener.WaitForAsync(m => m.Retain, 15); // the watcher is back: nobody was heard
            await Task.Delay(500, TestContext.Current.CancellationToken); // and has its acknowledgement
        }
    }

    [Fact]
    public async Task A_password_that_is_put_right_while_it_watches_is_taken()
    {
        using var access = new BrokerAccess();
        using var broker = new Mosquitto(access.Lines);
        await broker.StartAsync();
        var password = Path.Combine(_folder.Path, "password");
        File.Copy(access["wrong"], password);
        _watching = new Watcher(
            Options with { Port = broker.Port, User = "river", PasswordFile = password, CaFile = access["ca.pem"], AckSeconds = 5 }, ["sim-river"], Limit,
            new Bell(["/bin/sh", "-c", "echo rung >> \"$0\"", Rung], NullLogger.Instance), TimeProvider.System, NullLogger.Instance).RunAsync(_stop.Token);
        await Following.Until(() => Rings == 1, 15);
        File.Copy(access["right"], password, overwrite: true);
        await Task.Delay(1000, TestContext.Current.CancellationToken);
        await broker.KillAsync();
        await Following.Until(() => Rings == 2, 15); // it rings anew only when it was let in between
    }

    [Fact]
    public async Task While_readings_flow_the_daemon_says_again_and_again_that_it_is_there()
    {
        await _broker.StartAsync();
        await using var listener = await Listener.StartAsync(_broker.Port, "evenwater/v1/+/state");
        using var log = _folder.Open();
        var night = new Night(log);
        await using var follower = Follow(log);
        for (var i = 0; i < 30; i++)
        {
            night.Cycle();
            log.Flush();
            await Task.Delay(100, TestContext.Current.CancellationToken);
        }

        Assert.True(listener.Heard.Count >= 5, $"{listener.Heard.Count} times in 3 s, set to 0.3 s");
    }

    [Theory]
    [InlineData("""{ "mqtt": { "host": "x" }, "silentMinutes": 1.9 }""", "silentMinutes", "1.9", "2 to 60 min")]
    [InlineData("""{ "mqtt": { "host": "x" }, "silentMinutes": 61 }""", "silentMinutes", "61", "2 to 60 min")]
    [InlineData("""{ "mqtt": { "host": "x", "port": 0 } }""", "mqtt.port", "0", "1 to 65535")]
    [InlineData("""{ "mqtt": { "host": "x", "tls": true } }""", "mqtt.caFile", "null", "PEM")]
    [InlineData("""{ "mqtt": { "host": "x", "askKeyFile": "k" } }""", "mqtt.askKeyFile", "given", "nothing")]
    [InlineData("""{ "mqtt": { "host": "x" }, "stations": [] }""", "stations", "0 names", "1 to 32")]
    [InlineData("""{ "mqtt": { "host": "x" }, "stations": ["river/#"] }""", "stations[0]", "river/#", "a-z")]
    [InlineData("""{ "mqtt": { "host": "x" }, "ring": ["sh", "-c", "true"] }""", "ring", "\"sh\"", "full path")]
    [InlineData("""{ "mqtt": { "host": "x" }, "ring": [] }""", "ring", "[]", "full path")]
    [InlineData("""{ "mqtt": { "host": "x" }, "ring": ["/etc/passwd"] }""", "ring", "\"/etc/passwd\"", "may be run")] // else found out on the night that it should ring
    [InlineData("""{ "mqtt": { "host": "x", "user": "u", "passwordFile": "/nowhere/password" } }""", "mqtt.passwordFile", "/nowhere/password", "may read")]
    [InlineData("""{ "mqtt": { "host": "x", "tls": true, "caFile": "/nowhere/ca.pem" } }""", "mqtt.caFile", "/nowhere/ca.pem", "may read")]
    [InlineData("""{ "mqtt": { "host": "x", "tls": true, "caFile": "/etc/passwd" } }""", "mqtt.caFile", "/etc/passwd", "PEM")]
    [InlineData("""{ "mqtt": { "host": "x" }, "silent": 10 }""", "silent (line 1)", "unknown key", "the keys of the watcher's own file")]
    [InlineData("""{ "mqtt": { "host": "x" }, "stations": "river" }""", "stations (line 1)", "\"river\"", "a list, [ ... ]")]
    [InlineData("""{ "mqtt": { "host": "x", "port": "1883" } }""", "mqtt.port (line 1)", "\"1883\"", "a whole number")]
    [InlineData("""{ }""", "mqtt", "not given", "an object")]
    [InlineData("""{ "mqtt": { "port": 1883 } }""", "mqtt.host (line 1)", "not given", "text in quotes")]
    [InlineData("""{ "mqtt": { "host": "x" }, "silentMinutes": 2,5 }""", "(file) (line 1)", "not valid JSON", "A decimal takes a point")]
    [InlineData("", "(file)", "empty", "JSON")]
    public void A_bad_configuration_is_told_by_key_value_and_what_is_allowed(string text, string key, string value, string allowed)
    {
        var file = Path.Combine(_folder.Path, "watch.json");
        File.WriteAllText(file, text);
        var problem = Assert.Single(WatchFile.Read(file).Problems).ToString();
        Assert.All([key, value, allowed], part => Assert.Contains(part, problem, StringComparison.Ordinal));
    }

    [Fact]
    public void The_example_is_accepted_and_shows_the_defaults()
    {
        var (read, problems) = WatchFile.Read(Path.Combine(Repository.Root, "config", "watch.example.json"));
        Assert.Empty(problems);
        var bare = new WatchConfiguration { Mqtt = read!.Mqtt };
        Assert.Equal((bare.SilentMinutes, "+"), (read.SilentMinutes, Assert.Single(read.Stations)));
        Assert.Equal(["+"], bare.Stations);
    }

    private MqttOptions Options => new() { Port = _broker.Port, AckSeconds = 0.5, ThereSeconds = 0.3, WillDelaySeconds = 1, RetrySeconds = 0.1, LongestRetrySeconds = 0.2 };

    private void Watch(string station) => _watching = new Watcher(
        Options, [station], Limit, new Bell(["/bin/sh", "-c", "echo rung >> \"$0\"", Rung], NullLogger.Instance), TimeProvider.System, NullLogger.Instance).RunAsync(_stop.Token);

    private Followed Follow(NightLog log) => new(new Night(log), log, night => new MqttFollower(
        log, "sim-river", 1, Options with { AckSeconds = 5, ThereSeconds = 0.3 }, Desks.Of("sim-river"), (_, _) => Task.FromResult(new Answer(true, "")), _ => { }, NullLogger.Instance));

    private async Task PublishAsync(MqttApplicationMessage message)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(Options.BuildListener("test"));
        await client.PublishAsync(message);
        await client.DisconnectAsync();
    }

    /// <summary>A daemon's follower that has readings to tell, and its end.</summary>
    private sealed class Followed : IAsyncDisposable
    {
        private readonly CancellationTokenSource _end = new();
        private readonly Task _following;
        private readonly Task _telling;

        public Followed(Night night, NightLog log, Func<Night, MqttFollower> follower)
        {
            _following = follower(night).RunAsync(_end.Token);
            _telling = TellAsync(night, log);
        }

        public async ValueTask DisposeAsync()
        {
            await _end.CancelAsync();
            await _following;
            await _telling;
            _end.Dispose();
        }

        private async Task TellAsync(Night night, NightLog log)
        {
            while (!_end.IsCancellationRequested)
            {
                night.Cycle();
                log.Flush();
                await Task.Delay(100, _end.Token).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }
    }
}
