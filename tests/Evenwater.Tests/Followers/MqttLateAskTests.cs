using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Running;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;
using MQTTnet.Protocol;

namespace Evenwater.Tests.Followers;

/// <summary>What a real mosquitto kept for the daemon while the line was gone, and hands over when it is back.</summary>
public sealed class MqttLateAskTests : IDisposable
{
    private readonly LogFolder _folder = new();
    private readonly Mosquitto _broker = new();
    private readonly SetTime _time = new(LogFolder.Evening, TimeZoneInfo.Utc);
    private readonly List<string> _obeyed = [];
    private readonly List<EventBody> _recorded = [];

    public void Dispose()
    {
        _broker.Dispose();
        _folder.Dispose();
    }

    /// <summary>An opening that comes late is refused and recorded; one whose own message expiry ran out never comes. A close is obeyed however late it is.</summary>
    [Theory]
    [InlineData(29, true)]
    [InlineData(31, false)]
    public async Task An_opening_that_was_signed_longer_ago_than_it_is_good_is_refused_and_a_late_close_is_obeyed(int seconds, bool opens)
    {
        using var log = _folder.Open();
        new Night(log).Cycle();
        await _broker.StartAsync();
        var desk = Desks.Of("sim-river", Desks.Key, time: _time);
        await using var listener = await Listener.StartAsync(_broker.Port, "evenwater/v1/sim-river/answer/#");
        string first = "", second = "";
        await ConnectedAsync(log, desk, async () =>
        {
            await PublishAsync("challenge", """{"verb":"open"}""");
            await PublishAsync("challenge", """{"verb":"open"}""");
            await Following.Until(() => listener.Heard.Count == 2);
            (first, second) = (SignedBy(listener.Heard[0]), SignedBy(listener.Heard[1]));
        });

        await PublishAsync("open", first, expirySeconds: 1);
        await PublishAsync("open", second);
        await PublishAsync("close", "");
        await Task.Delay(2100, TestContext.Current.CancellationToken); // The broker counts whole seconds.
        _time.Advance(TimeSpan.FromSeconds(seconds));
        await ConnectedAsync(log, desk, () => Following.Until(() => _obeyed.Contains("close")));

        Assert.Equal(opens ? ["open", "close"] : ["close"], _obeyed);
        Assert.Equal(
            opens ? [] : ["ask/open: nonce: not known here, used before, or older than 30 s; allowed: one that ask/challenge gave, once. Ask for a new challenge"],
            _recorded.Where(e => e.Name == "ask-refused").Select(e => e.Text));
    }

    private async Task ConnectedAsync(NightLog log, AskDesk desk, Func<Task> meanwhile)
    {
        using var stop = new CancellationTokenSource();
        var follower = new MqttFollower(
            log, "sim-river", 1, new MqttOptions { Port = _broker.Port }, desk,
            (ask, _) =>
            {
                lock (_obeyed)
                {
                    _obeyed.Add(ask.Verb);
                }

                return Task.FromResult(new Answer(true, ask.Verb));
            },
            _recorded.Add, NullLogger.Instance);
        var following = follower.RunAsync(stop.Token);
        await Following.Until(() => follower.Fault is null);
        await meanwhile();
        await stop.CancelAsync();
        await following;
    }

    private async Task PublishAsync(string verb, string payload, uint expirySeconds = 0)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(new MqttClientOptionsBuilder().WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500).WithTcpServer("127.0.0.1", _broker.Port).Build());
        await client.PublishAsync(new MqttApplicationMessageBuilder()
            .WithTopic($"evenwater/v1/sim-river/ask/{verb}").WithPayload(payload).WithResponseTopic("evenwater/v1/sim-river/answer/phone")
            .WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce).WithMessageExpiryInterval(expirySeconds).Build());
        await client.DisconnectAsync();
    }

    private static string SignedBy(MqttApplicationMessage answer)
    {
        using var json = System.Text.Json.JsonDocument.Parse(answer.ConvertPayloadToString());
        var given = json.RootElement.GetProperty("challenge");
        var budget = new OpeningBudget(given.GetProperty("millilitres").GetInt64(), given.GetProperty("seconds").GetInt64());
        return Desks.Signed(new Challenge("sim-river", "open", budget, given.GetProperty("nonce").GetString()!));
    }
}
