using System.Text.Json;
using Evenwater.Core.Alarms;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;

namespace Evenwater.Tests.Followers;

/// <summary>
/// Entries flow to a real mosquitto with TLS, users and an ACL, while it is killed or made to stand still, or the wire to it is cut. Whatever the log has
/// must be heard: in order within its lane, doubled only as far as it was on its way, with the same number. EVENWATER_CYCLES says how many cycles flow.
/// </summary>
public sealed class MqttMishapTests
{
    private static readonly int s_cycles = int.TryParse(Environment.GetEnvironmentVariable("EVENWATER_CYCLES"), System.Globalization.CultureInfo.InvariantCulture, out var set) ? set : 4000;

    /// <summary>Cycles for each alarm; so that all alarms go into one answer.</summary>
    private static readonly int s_every = s_cycles / 40;

    [Fact]
    public Task Nothing_is_lost_or_reordered_though_the_broker_stands_still() => FlowAsync(null, async (broker, follower) =>
    {
        await broker.PauseAsync();
        await Following.Until(() => follower.Fault is not null);
        await broker.ContinueAsync();
    });

    [Fact]
    public Task After_a_kill_what_comes_is_in_order_and_every_event_can_be_asked_for() => FlowAsync(null, async (broker, _) =>
    {
        await Task.Delay(1500); // Its sessions are on the disk once a second.
        await broker.KillAsync();
        await broker.StartAsync();
    }, killed: true);

    [Fact]
    public async Task Nothing_is_lost_or_reordered_though_the_wire_is_cut_in_silence()
    {
        var (wire, why) = Wire.Lay();
        Assert.SkipWhen(wire is null, why ?? "");
        using (wire)
        {
            await FlowAsync(wire, async (_, follower) =>
            {
                wire!.Cut();
                await Following.Until(() => follower.Fault is not null);
                wire.Mend();
            });
        }
    }

    private static async Task FlowAsync(Wire? wire, Func<Mosquitto, MqttFollower, Task> mishap, bool killed = false)
    {
        using var access = new BrokerAccess(wire?.There ?? "127.0.0.1");
        using var broker = new Mosquitto(access.Lines, wire);
        await FlowAsync(access, broker, mishap, killed);
    }

    private static async Task FlowAsync(BrokerAccess access, Mosquitto broker, Func<Mosquitto, MqttFollower, Task> mishap, bool killed)
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        var night = new Night(log);
        await broker.StartAsync();
        var options = new MqttOptions
        {
            Host = broker.Address, Port = broker.Port, User = "river", PasswordFile = access["right"], CaFile = access["ca.pem"],
            AckSeconds = 1, RetrySeconds = 0.1, LongestRetrySeconds = 0.5, WillDelaySeconds = 30,
        };
        await using var listener = await Listener.StartAsync(broker.Address, broker.Port, "evenwater/v1/sim-river/#", builder => Show(builder, options, "phone"));
        using var stop = new CancellationTokenSource();
        var follower = new MqttFollower(log, "sim-river", 1, options, Desks.Of("sim-river"), (_, _) => Task.FromResult(new Answer(true, "")), _ => { }, NullLogger.Instance);
        var following = follower.RunAsync(stop.Token);
        var (happening, held) = (Task.CompletedTask, 0L);
        for (var i = 0; i < s_cycles; i++)
        {
            night.Cycle();
            if (i % s_every == 50)
            {
                night.Add(EntryKind.Alarm, new AlarmBody("flow-low", AlarmStanding.Unacknowledged, Priority.Medium, "Slower", "nothing yet", $"look {i}"));
            }

            if (i == s_cycles / 4)
            {
                log.Flush();
                await Following.Until(() => follower.Fault is null && follower.Behind < s_cycles / 8);
                happening = mishap(broker, follower);
            }

            if (i % 100 == 0)
            {
                held = Math.Max(held, Held());
                await Task.Delay(20, TestContext.Current.CancellationToken);
            }
        }

        while (!happening.IsCompleted)
        {
            held = Math.Max(held, Held());
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }

        await happening;
        log.Flush();
        await Following.Until(() => follower.Behind == 0 && follower.Fault is null, 60);
        var (readings, events) = (s_cycles, s_cycles / s_every);
        if (killed)
        {
            // What a killed broker had acknowledged and not kept it has lost, subscriptions included; what came is in order, and every event can be asked for.
            Assert.Equal(Heard(listener, "/readings").Distinct().Order(), Heard(listener, "/readings").Distinct());
            var asked = await EventsAsync(listener, broker, options);
            Assert.Equal(events, asked.Count);
            Assert.Equal(log.Reader.Read(0, events + 1, cycles: false).Select(e => e.Id), asked);
        }
        else
        {
            // A listener may lag by minutes, on a busy computer; as long as more comes it is waited for.
            for (var (still, heard) = (0, -1); still < 20 && heard < readings + events;)
            {
                await Task.Delay(500, TestContext.Current.CancellationToken);
                var now = Heard(listener, "/readings").Distinct().Count() + Heard(listener, "/event").Distinct().Count();
                (still, heard) = (now == heard ? still + 1 : 0, now);
            }

            var missing = Enumerable.Range(1, readings + events).Select(i => (long)i).Except(Heard(listener, "/readings").Concat(Heard(listener, "/event"))).ToList();
            Assert.True(missing.Count == 0, $"{missing.Count} were not heard, {string.Join(' ', missing.Take(10))} and so on to {missing.LastOrDefault()}; connected: {listener.IsConnected}, {listener.Trouble}");
            Assert.Equal(Heard(listener, "/readings").Distinct().Order(), Heard(listener, "/readings").Distinct());
            Assert.Equal(Heard(listener, "/event").Distinct().Order(), Heard(listener, "/event").Distinct());
            Assert.Equal(Enumerable.Range(1, readings + events).Select(i => (long)i), Heard(listener, "/readings").Concat(Heard(listener, "/event")).Distinct().Order());
        }

        // Each connection that breaks may send again what it had not seen acknowledged, so twice is usual and more is possible; it is never more than was on its way.
        // A killed broker comes back with its sessions as they were on the disk, and gives the listener again what it held for it then: no more than it ever held.
        var more = Heard(listener, "/readings").CountBy(number => number).Where(n => n.Value > 1).ToList();
        Assert.All(more, n => Assert.InRange(n.Value, 2, 10));
        Assert.InRange(more.Count, 0, (10 * MqttFlight.Most) + (killed ? (int)held : 0));
        TestContext.Current.TestOutputHelper?.WriteLine($"{more.Count} heard twice; the broker held {held} at most");
        await stop.CancelAsync();
        await following;

        // What the broker has taken and the listener has not heard.
        long Held() => log.LastId - follower.Behind - Heard(listener, "/readings").Distinct().Count() - Heard(listener, "/event").Distinct().Count();
    }

    /// <summary>All events, asked for by a client of its own; again while the listener is not back.</summary>
    private static async Task<List<long>> EventsAsync(Listener listener, Mosquitto broker, MqttOptions options)
    {
        var builder = new MqttClientOptionsBuilder().WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500).WithTcpServer(broker.Address, broker.Port);
        Show(builder, options, "phone");
        using var client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(builder.Build());
        for (var i = 0; i < 8; i++)
        {
            await client.PublishAsync(new MqttApplicationMessageBuilder().WithTopic("evenwater/v1/sim-river/ask/events").WithPayload("""{"since":0}""")
                .WithResponseTopic("evenwater/v1/sim-river/answer/phone").WithQualityOfServiceLevel(MQTTnet.Protocol.MqttQualityOfServiceLevel.AtLeastOnce).Build());
            await Task.Delay(1000);
            if (listener.Heard.FirstOrDefault(m => m.Topic.EndsWith("/answer/phone", StringComparison.Ordinal)) is { } answer)
            {
                using var json = JsonDocument.Parse(answer.ConvertPayloadToString());
                return [.. json.RootElement.GetProperty("events").EnumerateArray().Select(e => e.GetProperty("data").GetProperty("sequence").GetInt64())];
            }
        }

        throw new TimeoutException("no answer to ask/events");
    }

    private static void Show(MqttClientOptionsBuilder builder, MqttOptions options, string user)
    {
        var shown = (options with { User = user }).Build("x", new MqttApplicationMessage { Topic = "x" });
        builder.WithCredentials(user, "tap water").WithTlsOptions(shown.ChannelOptions.TlsOptions);
    }

    private static List<long> Heard(Listener listener, string topic) =>
        [.. listener.Heard.Where(m => m.Topic.EndsWith(topic, StringComparison.Ordinal)).Select(m => Listener.Sequence(m)!.Value)];
}
