using System.Globalization;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Followers;

/// <summary>
/// Real servers behind a slow line. EVENWATER_DELAY says how many seconds each way takes, and the daemon's own deadlines then stand as they are by default; without it
/// both are a tenth of 2 s and of the defaults.
/// </summary>
public sealed class SlowLineTests
{
    private static readonly double? s_set = double.TryParse(Environment.GetEnvironmentVariable("EVENWATER_DELAY"), CultureInfo.InvariantCulture, out var set) ? set : null;
    private static readonly double s_scale = s_set is null ? 0.1 : 1;
    private static readonly TimeSpan s_delay = TimeSpan.FromSeconds(s_set ?? 0.2);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    /// <summary>On the way there and back 4 s pass of the 10 s that an acknowledgement may take, 6 s when both stall: no connection is given up, and so nothing comes twice.</summary>
    [Fact]
    public async Task Mqtt_over_a_slow_line_loses_reorders_and_doubles_nothing_and_misses_no_deadline()
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        using var broker = new Mosquitto();
        await broker.StartAsync();
        await using var relay = new Relay(broker.Port, s_delay, seed: 1);
        var (night, options) = (new Night(log), new MqttOptions { Port = relay.Port, AckSeconds = new MqttOptions().AckSeconds * s_scale });
        await using var listener = await Listener.StartAsync(broker.Port, "evenwater/v1/sim-river/#");
        Fill(night, 100);
        log.Flush();
        await TellAsync(log, options, async follower =>
        {
            await Following.Until(() => follower.Behind == 0 && follower.Fault is null, 120);
            Assert.Equal(1, relay.Connections);
        });

        Assert.Equal(Numbers(log, cycles: true), Heard(listener, "/readings"));
        Assert.Equal(Numbers(log, cycles: false), Heard(listener, "/event"));
        Assert.True(relay.Carried.Stalls > 0, $"{relay.Carried.Pieces} pieces, and none stalled");
    }

    /// <summary>Slower than the deadline for a while: given up, tried again, and whole when it is over. What was on its way may come twice, with its number.</summary>
    [Fact]
    public async Task Mqtt_over_a_line_that_is_slower_than_the_deadline_for_a_while_recovers()
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        using var broker = new Mosquitto();
        await broker.StartAsync();
        await using var relay = new Relay(broker.Port, s_delay / 10, seed: 2);
        var (night, options) = (new Night(log), new MqttOptions { Port = relay.Port, AckSeconds = 10 * s_scale, RetrySeconds = 0.1, LongestRetrySeconds = 0.5 });
        await using var listener = await Listener.StartAsync(broker.Port, "evenwater/v1/sim-river/#");
        Fill(night, 50);
        log.Flush();
        await TellAsync(log, options, async follower =>
        {
            await Following.Until(() => follower.Behind == 0 && follower.Fault is null, 60);
            relay.Delay = TimeSpan.FromSeconds(30 * s_scale);
            Fill(night, 150);
            log.Flush();
            await Following.Until(() => follower.Fault is not null, 60);
            relay.Delay = s_delay / 10;
            await Following.Until(() => follower.Behind == 0 && follower.Fault is null, 120);
        });

        Assert.True(relay.Connections > 1, "a deadline was missed");
        await Following.Until(() => Heard(listener, "/readings").Distinct().Count() >= 200, 60);
        Assert.Equal(Numbers(log, cycles: true), Heard(listener, "/readings").Distinct());
        Assert.Equal(Numbers(log, cycles: false), Heard(listener, "/event").Distinct());

        // Each connection that was given up may have had so many on their way.
        Assert.InRange(Heard(listener, "/readings").Count, 200, 200 + (relay.Connections * MqttFlight.Most));
    }

    [Fact]
    public async Task A_database_behind_a_slow_line_is_sent_everything_once_and_in_time()
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        await Night.WriteAsync(log, 2000);
        using var server = new Influxd();
        await server.StartAsync();
        await using var relay = new Relay(new Uri(server.Url).Port, s_delay, seed: 3);
        var options = server.Options with { Url = $"http://127.0.0.1:{relay.Port}", AnswerSeconds = server.Options.AnswerSeconds * s_scale };
        await using var following = new Following(log, options);
        var faults = 0;
        await Following.Until(() => (faults += following.Follower.Fault is null ? 0 : 1) >= 0 && following.Follower.Behind == 0, 120);
        Assert.Equal((0, 2L), (faults, following.Follower.Requests));
        Following.Same(log, await server.CyclesAsync());
    }

    [Fact]
    public async Task A_database_behind_a_line_that_is_slower_than_the_deadline_for_a_while_is_sent_everything()
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        await Night.WriteAsync(log, 1000);
        using var server = new Influxd();
        await server.StartAsync();
        await using var relay = new Relay(new Uri(server.Url).Port, TimeSpan.FromSeconds(30 * s_scale), seed: 4);
        var options = server.Options with { Url = $"http://127.0.0.1:{relay.Port}", AnswerSeconds = 10 * s_scale, BatchEntries = 200, RetrySeconds = 0.1, LongestRetrySeconds = 0.5 };
        await using var following = new Following(log, options);
        await Following.Until(() => following.Follower.Fault is not null, 60);
        Assert.Equal("no answer in time", following.Follower.Fault);
        relay.Delay = s_delay / 10;
        await following.DoneAsync(120);
        await Task.Delay(TimeSpan.FromSeconds(31 * s_scale), Stop); // What was still on its way arrives, too.
        Following.Same(log, await server.CyclesAsync());
    }

    private static void Fill(Night night, int cycles)
    {
        for (var i = 0; i < cycles; i++)
        {
            night.Cycle();
            if (i % 25 == 12)
            {
                night.Add(EntryKind.Event, new EventBody("test", $"{i}"));
            }
        }
    }

    private static async Task TellAsync(NightLog log, MqttOptions options, Func<MqttFollower, Task> meanwhile)
    {
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Stop);
        var follower = new MqttFollower(log, "sim-river", 1, options, Desks.Of("sim-river"), (_, _) => Task.FromResult(new Answer(true, "")), _ => { }, NullLogger.Instance);
        var following = follower.RunAsync(stop.Token);
        await meanwhile(follower);
        await stop.CancelAsync();
        await following;
    }

    private static List<long> Numbers(NightLog log, bool cycles) => [.. log.Reader.Read(0, 10_000, cycles).Select(e => e.Id)];

    private static List<long> Heard(Listener listener, string topic) =>
        [.. listener.Heard.Where(m => m.Topic.EndsWith(topic, StringComparison.Ordinal)).Select(m => Listener.Sequence(m)!.Value)];
}
