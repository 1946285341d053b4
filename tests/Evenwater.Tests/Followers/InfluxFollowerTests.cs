using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Calibration;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Tests.Followers;

/// <summary>Against a real InfluxDB 1.x, through the handler for 1.x servers.</summary>
public sealed class InfluxFollowerTests : IDisposable
{
    private readonly LogFolder _folder = new();
    private readonly Influxd _server = new();
    private readonly CancellationTokenSource _stop = new();

    public void Dispose()
    {
        _stop.Dispose();
        _server.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public async Task What_the_log_holds_is_what_the_server_holds_though_it_was_down_at_first_and_all_is_sent_twice()
    {
        using var log = _folder.Open();
        var night = new Night(log) { RunId = 3 };
        night.Add(EntryKind.Run, new RunBody("dripping", "begun"));
        for (var i = 0; i < 500; i++)
        {
            night.Cycle();
        }

        night.Add(EntryKind.Forecast, new ForecastBody(60, 90, null, 1e4, 2e4, 3e4, 2.1, 2.2, 2.3, 14, 15, 16, 0.01, 1e-9, Core.Estimation.Health.Ok));
        night.Add(EntryKind.Alarm, new AlarmBody("flow-low", AlarmStanding.Unacknowledged, Priority.Low, "Drip \"slower\"", "nothing, yet", "look at the drip\n"));
        var one = night.Make(EntryKind.Event, LogJson.Write(new EventBody("test", "one of two in one millisecond")));
        log.Append(one);
        log.Append(one with { Body = LogJson.Write(new EventBody("test", "the other")) });
        log.Flush();

        var follower = Follower(log);
        var following = follower.RunAsync(_stop.Token);
        await Following.Until(() => follower.Fault is not null);
        Assert.Equal(0, log.Cursor(InfluxFollower.Name));
        Assert.Equal(505, follower.Behind);

        await _server.StartAsync();
        await Following.Until(() => follower.Behind == 0);
        Assert.Null(follower.Fault);
        await SameAsTheLog(log);

        await _stop.CancelAsync();
        await following;
        log.MoveCursor(InfluxFollower.Name, 0);
        night.Cycle();
        log.Flush();
        await using var again = new Following(log, Following.Quick(_server.Options));
        Assert.Equal(log.LastId, again.Follower.Behind);
        await again.DoneAsync();
        await SameAsTheLog(log);
    }

    [Fact]
    public async Task An_entry_without_wall_time_waits_and_so_do_those_after_it()
    {
        await _server.StartAsync();
        using var log = _folder.Open();
        var night = new Night(log);
        night.Cycle();
        night.HasWall = false;
        night.Cycle();
        night.HasWall = true;
        night.Cycle();
        log.Flush();

        var follower = Follower(log);
        var following = follower.RunAsync(_stop.Token);
        await Following.Until(() => follower.Fault?.StartsWith("entry 2 has no wall time yet", StringComparison.Ordinal) == true);
        Assert.Equal(2, follower.Behind);
        Assert.Single(await _server.QueryAsync("SELECT * FROM reading"));
        await _stop.CancelAsync();
        await following;
    }

    [Fact]
    public async Task A_refusal_by_the_server_moves_no_cursor_and_is_told()
    {
        await _server.StartAsync();
        using var log = _folder.Open();
        new Night(log).Cycle();
        log.Flush();
        var follower = Follower(log, "no-such-database/autogen");
        var following = follower.RunAsync(_stop.Token);
        await Following.Until(() => follower.Fault is not null);
        Assert.Contains("database not found", follower.Fault, StringComparison.Ordinal);
        Assert.Equal(0, log.Cursor(InfluxFollower.Name));
        await _stop.CancelAsync();
        await following;
    }

    private async Task SameAsTheLog(NightLog log)
    {
        var entries = log.Reader.Read(0, 10_000);
        var cycles = entries.Where(e => e.Kind == EntryKind.Cycle).ToList();
        var rows = await _server.QueryAsync("SELECT * FROM reading ORDER BY time");
        Assert.Equal(cycles.Count, rows.Count);
        foreach (var (entry, row) in cycles.Zip(rows))
        {
            Assert.Equal(entry.Id, row["entry"].GetInt64());
            Assert.Equal(InfluxPoints.Nanoseconds(entry), row["time"].GetInt64());
            Assert.Equal(entry.Wall!.Value.ToUnixTimeMilliseconds(), row["time"].GetInt64() / 1_000_000);
            Assert.Equal(entry.Station, row["station"].GetString());
            Assert.Equal("simulated", row["clock"].GetString());
            var readings = Calibrate.Apply(entry.Samples!.Value, log.Reader.Configuration(entry.ConfigurationId).Sensors);
            Same(readings[Channel.VesselConductivity], 1e4, row, "vessel_conductivity_25c_s_per_m", "vessel_conductivity_25c_reason");
            Same(readings[Channel.TankConductivity], 1e4, row, "tank_conductivity_25c_s_per_m", "tank_conductivity_25c_reason");
            Same(readings[Channel.VesselTemperature], 1, row, "vessel_temperature_celsius", "vessel_temperature_reason");
            Same(readings[Channel.TankTemperature], 1, row, "tank_temperature_celsius", "tank_temperature_reason");
            Assert.False(row["float_high"].GetBoolean());
            Assert.DoesNotContain("leak", row.Keys);
        }

        var forecast = Assert.Single(await _server.QueryAsync("SELECT * FROM forecast"));
        Assert.Equal(2.2e-3, forecast["volume_p50_m3"].GetDouble(), 1e-15);
        Assert.Equal(2.5e-7, forecast["flow_p50_m3_per_s"].GetDouble(), 1e-18);
        Assert.DoesNotContain("match_p95_s", forecast.Keys);
        var others = entries.Where(e => e.Kind is EntryKind.Run or EntryKind.Alarm or EntryKind.Event).ToList();
        var events = await _server.QueryAsync("SELECT * FROM event ORDER BY time");
        Assert.Equal(others.Select(e => (e.Id, e.Body)), events.Select(r => (r["entry"].GetInt64(), (string?)r["body"].GetString())));
        Assert.Equal(["run", "alarm", "event", "event"], events.Select(r => r["kind"].GetString()));
    }

    private static void Same(in Reading reading, double divisor, Dictionary<string, JsonElement> row, string field, string reasonField)
    {
        if (reading.TryGet(out var value))
        {
            Assert.Equal(value / divisor, row[field].GetDouble(), 1e-12);
        }
        else
        {
            Assert.Equal(JsonValueKind.Null, row[field].ValueKind);
            Assert.Equal("no-answer", row[reasonField].GetString());
        }
    }

    private InfluxFollower Follower(NightLog log, string bucket = "tank/autogen") => new(
        log,
        new InfluxOptions { Url = _server.Url, Bucket = bucket, Version1 = true, RetrySeconds = 0.1, LongestRetrySeconds = 0.2, BatchEntries = 200 },
        NullLogger.Instance);
}
