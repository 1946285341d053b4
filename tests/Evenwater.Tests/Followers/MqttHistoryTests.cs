using System.Text;
using System.Text.Json;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;
using MQTTnet.Protocol;

namespace Evenwater.Tests.Followers;

/// <summary>Events asked for once more, over a real mosquitto.</summary>
public sealed class MqttHistoryTests
{
    [Fact]
    public async Task Who_asks_for_events_since_a_number_is_told_them_page_by_page_in_order_and_of_this_station_alone()
    {
        using var folder = new LogFolder();
        using var log = folder.Open();
        using var broker = new Mosquitto();
        var (night, other) = (new Night(log), new Night(log, "sim-other"));
        var mine = new List<long>();
        for (var i = 0; i < 130; i++)
        {
            mine.Add(night.Add(EntryKind.Event, new EventBody("test", $"{i}")));
            other.Add(EntryKind.Event, new EventBody("test", "not mine"));
            night.Cycle();
            night.Add(EntryKind.Say, new SayBody("Steady", "x", 60));
        }

        log.Flush();
        foreach (var bytes in new[] { "body = '{7x'", "wall_ms = -1" })
        {
            // What a worn card has spoilt is left out, and all else is told.
            using var connection = new Microsoft.Data.Sqlite.SqliteConnection($"Data Source={folder.File};Pooling=False");
            connection.Open();
            using var spoil = connection.CreateCommand();
            spoil.CommandText = $"UPDATE entry SET {bytes} WHERE id = {mine[60]}";
            Assert.Equal(1, spoil.ExecuteNonQuery());
            mine.RemoveAt(60);
        }

        await broker.StartAsync();
        await using var listener = await Listener.StartAsync(broker.Port, "evenwater/v1/sim-river/answer/#");
        using var stop = new CancellationTokenSource();
        var follower = new MqttFollower(
            log, "sim-river", 1, new MqttOptions { Port = broker.Port }, Desks.Of("sim-river"), (_, _) => Task.FromResult(new Answer(true, "")), _ => { }, NullLogger.Instance);
        var following = follower.RunAsync(stop.Token);
        await Following.Until(() => follower.Fault is null);

        await AskAsync(broker.Port, $$"""{"since":{{mine[9]}}}""");
        await Following.Until(() => listener.Heard.Any(m => !Json(m).GetProperty("more").GetBoolean()));
        var pages = listener.Heard.Select(Json).ToList();
        Assert.Equal([50, 50, 18], pages.Select(p => p.GetProperty("events").GetArrayLength()));
        Assert.Equal([true, true, false], pages.Select(p => p.GetProperty("more").GetBoolean()));
        Assert.Equal(mine[10..], pages.SelectMany(p => p.GetProperty("events").EnumerateArray()).Select(e => e.GetProperty("data").GetProperty("sequence").GetInt64()));
        Assert.Equal(mine[^1], pages[^1].GetProperty("next").GetInt64());
        Assert.All(listener.Heard, m => Assert.Equal("q7", Encoding.ASCII.GetString(m.CorrelationData)));

        // The end of the log is an answer without events; what lies beyond it is another log's.
        await AskAsync(broker.Port, $$"""{"since":{{log.LastId}}}""");
        await AskAsync(broker.Port, $$"""{"since":{{log.LastId + 1}}}""");
        await AskAsync(broker.Port, """{"since":-1}""");
        await Following.Until(() => listener.Heard.Count == 6);
        var last = listener.Heard.Skip(3).Select(Json).ToList();
        Assert.Equal([true, false, false], last.Select(a => a.GetProperty("obeyed").GetBoolean()));
        Assert.Equal(0, last[0].GetProperty("events").GetArrayLength());
        Assert.Contains("ask since 0", last[1].GetProperty("answer").GetString(), StringComparison.Ordinal);
        Assert.StartsWith("ask/events: payload.since: -1; allowed: 0 or more", last[2].GetProperty("answer").GetString(), StringComparison.Ordinal);
        await stop.CancelAsync();
        await following;
    }

    [Fact]
    public void Asks_for_events_take_places_from_the_same_limit_as_others()
    {
        var desk = Desks.Of("sim-river");
        for (var i = 0; i < AskLimit.Burst; i++)
        {
            Assert.Equal(3, desk.Judge(Desks.Message("events", """{"since":3}""")).Since);
        }

        Assert.Null(desk.Judge(Desks.Message("events", """{"since":3}""")).Since);
        Assert.True(desk.Judge(Desks.Message("events", """{"since":3}""")).Unheard);
    }

    private static async Task AskAsync(int port, string payload)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(new MqttClientOptionsBuilder().WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500).WithTcpServer("127.0.0.1", port).Build());
        await client.PublishAsync(new MqttApplicationMessageBuilder()
            .WithTopic("evenwater/v1/sim-river/ask/events")
            .WithResponseTopic("evenwater/v1/sim-river/answer/phone")
            .WithCorrelationData("q7"u8.ToArray())
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce)
            .WithPayload(payload)
            .Build());
        await client.DisconnectAsync();
        await Task.Delay(150);
    }

    private static JsonElement Json(MqttApplicationMessage message)
    {
        using var json = JsonDocument.Parse(message.ConvertPayloadToString());
        return json.RootElement.Clone();
    }
}
