using Evenwater.Followers;
using Evenwater.Log;
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
        var follower = new MqttFollower(log, "sim-river", 1, new() { Port = port }, (_, _) => Task.FromResult("closed"), _ => { }, NullLogger.Instance);
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

    [Fact]
    public async Task An_occupied_port_is_named()
    {
        var port = ServerProcess.FreePort();
        await using var broker = await EmbeddedBroker.StartAsync(port);
        var e = await Assert.ThrowsAsync<IOException>(() => EmbeddedBroker.StartAsync(port));
        Assert.Contains($"127.0.0.1:{port}", e.Message, StringComparison.Ordinal);
    }
}
