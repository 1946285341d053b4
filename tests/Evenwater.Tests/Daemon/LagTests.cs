using System.Globalization;
using System.Text.RegularExpressions;
using Evenwater.Core;
using Evenwater.Log;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Daemon;

/// <summary>How far each follower is behind, as a person is told it: from the file without a daemon, and from the daemon and its /metrics, against the log counted entry by entry.</summary>
public sealed class LagTests : IDisposable
{
    private const int PerCycle = 5; // what Night's probes and float come to

    private readonly ProgramUnderTest _program = new();
    private readonly DateTimeOffset _began = TimeProvider.System.GetUtcNow().AddHours(-1);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    public void Dispose() => _program.Dispose();

    [Fact]
    public async Task Check_and_metrics_tell_readings_and_seconds_behind()
    {
        Fill();
        await ConfigureAsync();

        // 600 cycles, a second each, from an hour ago; then three events. The database has 400 of them, the broker 500, and two of the events.
        var check = (await _program.CallAsync("check", "--config", _program.Configuration)).Out;
        var (influx, mqtt) = Behind(check);
        Assert.Equal((200 * PerCycle, 3), (influx.Readings, influx.Others));
        Assert.Contains("lags by 0 readings and 1 other entry,", check, StringComparison.Ordinal);
        Assert.Equal((100 * PerCycle, 0), (mqtt.Readings, mqtt.Others));
        Assert.InRange(influx.Seconds, 3600 - 401, 3600 - 401 + 60);
        Assert.InRange(mqtt.Seconds, 3600 - 501, 3600 - 501 + 60);

        var daemon = _program.Start("serve", "--config", _program.Configuration);
        await _program.PageAsync(page => page.Contains("sim-river", StringComparison.Ordinal));
        var before = await ScrapedAsync(moreThan: 200 * PerCycle);
        (influx, mqtt) = Behind((await _program.CallAsync("check", "--config", _program.Configuration)).Out);
        var after = await ScrapedAsync();
        Assert.InRange(influx.Readings, before.Influx, after.Influx);
        Assert.InRange(mqtt.Readings, before.Mqtt, after.Mqtt);
        Assert.InRange(influx.Seconds, Math.Floor(before.Seconds), Math.Ceiling(after.Seconds));
        daemon.Kill();
        await daemon.WaitForExitAsync(Stop);

        using var log = NightLog.Open(_program.State);
        Assert.InRange(before.Influx, Fitted(log, 400, before.LastEntry), Fitted(log, 400, after.LastEntry));
        Assert.InRange(after.Influx, Fitted(log, 400, after.LastEntry), Fitted(log, 400, long.MaxValue));
        Assert.Equal(100 * PerCycle, before.Influx - before.Mqtt);
    }

    private void Fill()
    {
        using var log = NightLog.Open(_program.State, pace: LogFolder.Quick);
        var night = new Night(log);
        for (var i = 1; i <= 600; i++)
        {
            var cycle = night.Make(EntryKind.Cycle, null);
            log.Append(cycle with { Samples = Night.Raw(i, cycle.At), Wall = _began.AddSeconds(i), ClockQuality = ClockQuality.Synced });
        }

        for (var i = 1; i <= 3; i++)
        {
            log.Append(night.Make(EntryKind.Event, LogJson.Write(new EventBody("test", $"{i}"))) with { Wall = _began.AddSeconds(600 + i), ClockQuality = ClockQuality.Synced });
        }

        log.Flush();
        log.MoveCursor("influxdb", 400);
        log.MoveCursor("mqtt/sim-river/readings", 500);
        log.MoveCursor("mqtt/sim-river", 602);
    }

    /// <summary>Nobody listens there, so that both lag and stay so.</summary>
    private Task ConfigureAsync() => File.WriteAllTextAsync(
        _program.Configuration,
        $$"""
        { "stations": ["station.json"], "page": { "port": {{_program.PagePort}} }, "store": { "batchSeconds": 0.5 },
          "influx": { "url": "http://127.0.0.1:{{ServerProcess.FreePort()}}", "bucket": "tank/autogen", "version1": true },
          "mqtt": { "host": "127.0.0.1", "port": {{ServerProcess.FreePort()}} } }
        """,
        Stop);

    private static (Lag Influx, Lag Mqtt) Behind(string check)
    {
        Assert.Matches(@"follower mqtt/sim-river\W+lags by 0 readings and \d+ other entr(y|ies),", check);
        return (Of("influxdb"), Of("mqtt/sim-river/readings"));

        Lag Of(string follower)
        {
            var told = Regex.Match(check, $@"follower {follower}\W+lags by (\d+) readings(?: and (\d+) other entr(?:y|ies))?, the oldest (\d+) s old");
            Assert.True(told.Success, check);
            return new(Number(told.Groups[1].Value), Number(told.Groups[2].Value), Number(told.Groups[3].Value));
        }
    }

    private async Task<(long Influx, long Mqtt, double Seconds, long LastEntry)> ScrapedAsync(long moreThan = 0)
    {
        const string Influx = "evenwater_follower_lag_readings{follower=\"influxdb\"}";
        var text = await _program.PageAsync(metrics => metrics.Contains(Influx, StringComparison.Ordinal) && Of(Influx, metrics) > moreThan, "/metrics");
        await Task.Delay(1100, Stop); // It looks once a second at most.
        return ((long)Of(Influx, text), (long)Of("evenwater_follower_lag_readings{follower=\"mqtt/sim-river/readings\"}", text),
            Of("evenwater_follower_lag_seconds{follower=\"influxdb\"}", text), (long)Of("evenwater_log_entries_total", text));

        static double Of(string sample, string text) => double.Parse(
            text.Split('\n').Single(line => line.StartsWith(sample + " ", StringComparison.Ordinal))[(sample.Length + 1)..], CultureInfo.InvariantCulture);
    }

    private static long Fitted(NightLog log, long after, long upTo) => log.Reader.Read(after, 100_000)
        .Where(e => e.Id <= upTo && e.Samples is not null)
        .Sum(e => Enumerable.Range(0, Channels.Count).Count(c => e.Samples!.Value[c].Reason != Reason.NotFitted));

    private static long Number(string text) => text.Length == 0 ? 0 : long.Parse(text, CultureInfo.InvariantCulture);

    private sealed record Lag(long Readings, long Others, long Seconds);
}
