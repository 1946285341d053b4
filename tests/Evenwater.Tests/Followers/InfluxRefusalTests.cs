using Evenwater.Log;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;

namespace Evenwater.Tests.Followers;

/// <summary>What a real InfluxDB 1.x refuses.</summary>
public sealed class InfluxRefusalTests : IDisposable
{
    private readonly LogFolder _folder = new();
    private readonly NightLog _log;
    private readonly Night _night;

    public InfluxRefusalTests()
    {
        _log = _folder.Open();
        _night = new Night(_log);
    }

    public void Dispose()
    {
        _log.Dispose();
        _folder.Dispose();
    }

    [Fact]
    public async Task Entries_whose_field_has_another_type_there_are_set_aside_and_all_others_are_stored()
    {
        using var server = new Influxd();
        await server.StartAsync();

        // The field that every 7th cycle has, as a number.
        await server.WriteAsync($"reading tank_temperature_reason=1 {LogFolder.Evening.AddHours(12).ToUnixTimeMilliseconds()}000000");
        Cycles(500);
        await using var following = new Following(_log, Following.Quick(server.Options));
        await following.DoneAsync();

        var poison = _log.Reader.Read(0, 1000).Where(e => e.Samples!.Value[Core.Channel.TankTemperature].Reason != Core.Reason.None).Select(e => e.Id).ToList();
        Assert.InRange(poison.Count, 500 / 7, (500 / 7) + 1);
        Assert.Equal(poison.Count, following.Follower.Refused);
        var rows = await server.QueryAsync("SELECT entry FROM reading ORDER BY time");
        Assert.Equal(Enumerable.Range(1, 500).Select(i => (long)i).Except(poison), rows.Select(r => r["entry"].GetInt64()));
        Assert.Equal(3, following.Told.Count); // 500 in batches of 200.
        Assert.Contains("field type conflict", following.Told[0].Text, StringComparison.Ordinal);
        Assert.Contains($"entries {poison[0]}, {poison[1]}, ", following.Told[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task What_is_older_than_the_server_keeps_is_told_with_its_reason_and_the_rest_of_the_batch_is_there()
    {
        using var server = new Influxd();
        await server.StartAsync();
        await server.DoAsync("CREATE RETENTION POLICY day ON tank DURATION 1d REPLICATION 1");
        Cycles(630);
        var now = DateTimeOffset.UtcNow;
        for (var i = 0; i < 20; i++)
        {
            var entry = _night.Make(EntryKind.Event, LogJson.Write(new EventBody("test", $"now {i}")));
            _log.Append(entry with { Wall = now.AddMilliseconds(i) });
        }

        _log.Flush();
        await using var following = new Following(_log, Following.Quick(server.Options with { Bucket = "tank/day" }));
        await following.DoneAsync();
        Assert.Equal(630, following.Follower.Refused);
        Assert.Equal(20, (await server.QueryAsync("SELECT * FROM day.event")).Count);
        Assert.Equal(["1 to 200", "201 to 400", "401 to 600", "601 to 630"], following.Told.Select(t => t.Text.Split("entries ")[1].Split('.')[0]));
        Assert.All(following.Told, t => Assert.Contains("points beyond retention policy dropped", t.Text, StringComparison.Ordinal));

        // Whole batches are told at a glance, the mixed one by halving: no request for each entry.
        Assert.InRange(following.Follower.Requests, 4, 4 + (2 * 10));
    }

    [Fact]
    public async Task A_body_that_is_too_large_for_it_is_sent_in_parts()
    {
        using var server = new Influxd("max-body-size = 2500");
        await server.StartAsync();
        Cycles(1000);
        await using var following = new Following(_log, Following.Quick(server.Options));
        await following.DoneAsync();
        Assert.Equal(0, following.Follower.Refused);
        Following.Same(_log, await server.CyclesAsync());
        Assert.InRange(following.Follower.Requests, 6, 200); // More than 1000 in batches of 200 would take.
    }

    [Fact]
    public async Task A_wrong_token_waits_calls_and_sends_all_once_the_file_is_right()
    {
        using var server = new Influxd("auth-enabled = true");
        await server.Process.StartAsync();
        await server.DoAsync("CREATE USER keeper WITH PASSWORD 'keeper' WITH ALL PRIVILEGES");
        await server.DoAsync("CREATE DATABASE tank", "keeper");
        Cycles(100);
        var file = Path.Combine(_folder.Path, "token");
        await File.WriteAllTextAsync(file, "keeper:mistyped\n", TestContext.Current.CancellationToken);
        await using var following = new Following(_log, Following.Quick(server.Options with { TokenFile = file }));
        await Following.Until(() => following.AlarmAt == "sim-river");
        Assert.Contains("authorization failed (status 401)", following.Follower.Fault, StringComparison.Ordinal);
        Assert.Equal(0, following.Follower.Refused);
        await File.WriteAllTextAsync(file, "keeper:keeper\n", TestContext.Current.CancellationToken);
        await following.DoneAsync();
        await Following.Until(() => following.AlarmAt is null);
        Assert.Equal(100, (await server.QueryAsync("SELECT entry FROM reading", "keeper")).Count);
    }

    private void Cycles(int count)
    {
        for (var i = 0; i < count; i++)
        {
            _night.Cycle();
        }

        _log.Flush();
    }
}
