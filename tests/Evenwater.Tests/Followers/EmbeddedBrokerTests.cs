using System.Diagnostics;
using Evenwater.Followers;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;

namespace Evenwater.Tests.Followers;

public sealed class EmbeddedBrokerTests
{
    [Fact]
    public async Task The_embedded_broker_passes_on_what_the_log_holds_and_keeps_the_state()
    {
        var port = ServerProcess.FreePort();
        using var folder = new LogFolder();
        using var log = folder.Open();
        var night = new Night(log);
        await using var broker = await EmbeddedBroker.StartAsync(port);
        await using var listener = await Listener.StartAsync(port);
        using var stop = new CancellationTokenSource();
        var follower = new MqttFollower(log, "sim-river", 1, new() { Port = port }, Desks.Of("sim-river"), (_, _) => Task.FromResult(new Answer(true, "closed")), _ => { }, NullLogger.Instance);
        var following = follower.RunAsync(stop.Token);
        for (var i = 0; i < 100; i++)
        {
            night.Cycle();
        }

        log.Flush();
        await listener.WaitForAsync(m => Listener.Sequence(m) == 100);
        Assert.Equal(Enumerable.Range(1, 100).Select(i => (long)i), listener.Heard.Select(Listener.Sequence).OfType<long>());
        await using var late = await Listener.StartAsync(port);
        var state = await late.WaitForAsync(m => m.Topic == "evenwater/v1/sim-river/state");
        Assert.Contains("\"online\"", state.ConvertPayloadToString(), StringComparison.Ordinal);
        await stop.CancelAsync();
        await following;
    }

    [Theory]
    [InlineData("mqttv311")]
    [InlineData("mqttv5")]
    public async Task A_subscriber_that_gives_no_name_is_given_one(string version)
    {
        var port = ServerProcess.FreePort();
        await using var broker = await EmbeddedBroker.StartAsync(port);
        using var client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).Build(), TestContext.Current.CancellationToken);
        // Acknowledged, so that it is kept before anybody subscribes: otherwise who subscribes between may miss it.
        await client.PublishAsync(
            new MqttApplicationMessageBuilder().WithTopic("evenwater/v1/sim-river/say").WithPayload("Even soon.").WithRetainFlag().WithQualityOfServiceLevel(MQTTnet.Protocol.MqttQualityOfServiceLevel.AtLeastOnce).Build(),
            TestContext.Current.CancellationToken);

        // Two at once: a name that were not each one's own would throw the first out.
        var heard = await Task.WhenAll(Enumerable.Range(0, 2).Select(_ => HearOneAsync(port, version)));
        Assert.All(heard, h => Assert.Equal("evenwater/v1/sim-river/say Even soon.\n", h));
    }

    [Fact]
    public async Task An_occupied_port_is_named()
    {
        var port = ServerProcess.FreePort();
        await using var broker = await EmbeddedBroker.StartAsync(port);
        var e = await Assert.ThrowsAsync<IOException>(() => EmbeddedBroker.StartAsync(port));
        Assert.Contains($"127.0.0.1:{port}", e.Message, StringComparison.Ordinal);
    }

    /// <summary>What a newcomer types, ended after one message or ten seconds; both what it heard and what it complained of.</summary>
    private static async Task<string> HearOneAsync(int port, string version)
    {
        using var subscriber = Process.Start(new ProcessStartInfo(
            ServerProcess.Find("mosquitto_sub", "mosquitto-clients"),
            ["-p", $"{port}", "-t", "evenwater/#", "-v", "-V", version, "-C", "1", "-W", "10"])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        })!;
        var complaint = subscriber.StandardError.ReadToEndAsync();
        var heard = await subscriber.StandardOutput.ReadToEndAsync();
        await subscriber.WaitForExitAsync();
        return heard + await complaint;
    }
}
