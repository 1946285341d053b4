using System.Diagnostics;
using System.Globalization;
using Evenwater.Core.Alarms;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Followers;

/// <summary>
/// How a backlog goes to a real mosquitto. EVENWATER_DRAIN says how many readings are in it (five a cycle); without it a few, so that the command
/// that measures cannot rot. EVENWATER_LEAST is how many a second are wanted.
/// </summary>
public sealed class MqttBacklogTests(ITestOutputHelper output) : IAsyncDisposable
{
    private const int ReadingsPerCycle = 5;

    private static readonly int s_readings = Setting("EVENWATER_DRAIN", 20_000);

    /// <summary>EVENWATER_CYCLES: 86,400 are a day at one a second.</summary>
    private static readonly int s_cycles = Setting("EVENWATER_CYCLES", 10_000);

    private static readonly double s_least = Setting("EVENWATER_LEAST", 0);

    private readonly LogFolder _folder = new();
    private readonly Mosquitto _broker = new();
    private readonly CancellationTokenSource _stop = new();
    private NightLog? _log;
    private Task _following = Task.CompletedTask;

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _following;
        _log?.Dispose();
        _stop.Dispose();
        _broker.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public async Task A_backlog_drains_into_mosquitto()
    {
        _log = _folder.Open();
        await Night.WriteAsync(_log, s_readings / ReadingsPerCycle);
        await _broker.StartAsync();
        var started = Stopwatch.GetTimestamp();
        var (own, broker) = (Environment.CpuUsage.TotalTime, _broker.ProcessorTime);
        var follower = Follow(_log);
        while (follower.Behind > 0)
        {
            Assert.True(follower.Fault is null or "not connected yet", follower.Fault);
            await Task.Delay(5, TestContext.Current.CancellationToken);
        }

        var seconds = Stopwatch.GetElapsedTime(started).TotalSeconds;
        var rate = s_readings / seconds;
        (own, broker) = (Environment.CpuUsage.TotalTime - own, _broker.ProcessorTime - broker);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"mosquitto: {s_readings} readings, {rate:F0} a second, {rate / ReadingsPerCycle:F0} messages a second; in {seconds:F1} s the follower used {own.TotalSeconds:F1} s of the processors, the broker {broker.TotalSeconds:F1} s"));
        Assert.True(rate >= s_least, $"{rate:F0} readings a second, wanted {s_least:F0}");
    }

    [Fact]
    public async Task A_new_alarm_overtakes_a_backlog_which_comes_whole_and_in_order()
    {
        _log = _folder.Open();
        await Night.WriteAsync(_log, s_cycles);
        await _broker.StartAsync();
        await using var listener = await Listener.StartAsync(_broker.Port);
        var follower = Follow(_log);
        await listener.WaitForAsync(m => m.Topic.EndsWith("/readings", StringComparison.Ordinal));

        var night = new Night(_log);
        var raised = night.Add(EntryKind.Alarm, new AlarmBody("brim-near", AlarmStanding.Unacknowledged, Priority.High, "Near", "nothing yet", "look") { Calls = true });
        var since = Stopwatch.GetTimestamp();
        _log.Flush();
        await listener.WaitForAsync(m => m.Topic.EndsWith("/event", StringComparison.Ordinal), 20);
        var seconds = Stopwatch.GetElapsedTime(since).TotalSeconds;
        var behind = follower.Behind;
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"the alarm was there after {seconds:F2} s, with {behind} cycles still to come"));
        Assert.True(behind > 1000, $"only {behind} were still to come: nothing was overtaken");
        Assert.True(seconds < 2, $"the alarm took {seconds:F1} s");

        await Following.Until(() => follower.Behind == 0, 120);
        await Following.Until(() => Readings(listener).Count >= s_cycles, 60);
        Assert.Equal(Enumerable.Range(1, s_cycles).Select(i => (long)i), Readings(listener));
        Assert.Equal(raised, Listener.Sequence(Assert.Single(listener.Heard, m => m.Topic.EndsWith("/event", StringComparison.Ordinal))));
    }

    private static List<long> Readings(Listener listener) =>
        [.. listener.Heard.Where(m => m.Topic.EndsWith("/readings", StringComparison.Ordinal)).Select(m => Listener.Sequence(m)!.Value)];

    private MqttFollower Follow(NightLog log)
    {
        var follower = new MqttFollower(
            log, "sim-river", 1, new MqttOptions { Port = _broker.Port, RetrySeconds = 0.1 }, Desks.Of("sim-river"), (_, _) => Task.FromResult(new Answer(true, "")), _ => { }, NullLogger.Instance);
        _following = follower.RunAsync(_stop.Token);
        return follower;
    }

    private static int Setting(string name, int otherwise) => int.TryParse(Environment.GetEnvironmentVariable(name), CultureInfo.InvariantCulture, out var set) ? set : otherwise;
}
