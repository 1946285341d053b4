using System.Net;
using Evenwater.Followers;
using Evenwater.Log;
using Evenwater.Running;
using Evenwater.Tests.Log;
using Evenwater.Tests.Servers;
using Microsoft.Extensions.Logging;
using MQTTnet;
using MQTTnet.Server;

namespace Evenwater.Tests.Followers;

/// <summary>A log with a little in it, and a follower of a broker with which something is wrong.</summary>
public abstract class MqttTrouble : IAsyncDisposable
{
    protected const string Root = "evenwater/v1/sim-river/";

    private protected LogFolder Folder { get; } = new();
    private protected NightLog Log { get; }
    private protected Told Heard { get; } = new();
    private protected List<EventBody> Recorded { get; } = [];
    private protected int Refusals { get; private set; }
    private protected CancellationTokenSource Ending { get; } = new();
    private protected Task Followed { get; private set; } = Task.CompletedTask;

    protected MqttTrouble()
    {
        Log = Folder.Open();
        var night = new Night(Log);
        night.Cycle();
        night.Add(EntryKind.Event, new EventBody("test", "x"));
        Log.Flush();
    }

    public async ValueTask DisposeAsync()
    {
        await Ending.CancelAsync();
        await Followed;
        Log.Dispose();
        Ending.Dispose();
        Folder.Dispose();
        GC.SuppressFinalize(this);
    }

    private protected MqttFollower Follow(MqttOptions options, Func<Ask, Task<Answer>>? obey = null)
    {
        var follower = new MqttFollower(
            Log, "sim-river", 1, options with { AckSeconds = 5, RetrySeconds = 0.1 },
            Desks.Of("sim-river"), (ask, _) => obey?.Invoke(ask) ?? Task.FromResult(new Answer(true, "")), Recorded.Add, Heard) { Refused = () => Refusals++ };
        Followed = follower.RunAsync(Ending.Token);
        return follower;
    }

    private protected static async Task PublishAsync(int port, MqttApplicationMessage message)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500).Build());
        await client.PublishAsync(message);
    }

    /// <summary>A broker in this process: what mosquitto's list of rights does not refuse it can.</summary>
    private protected static async Task<OwnBroker> BrokerAsync(Action<MqttServer> with, Action<MqttServerOptionsBuilder>? how = null)
    {
        var port = ServerProcess.FreePort();
        var options = new MqttServerOptionsBuilder()
            .WithDefaultEndpoint().WithDefaultEndpointPort(port).WithDefaultEndpointBoundIPAddress(IPAddress.Loopback).WithDefaultEndpointBoundIPV6Address(IPAddress.None);
        how?.Invoke(options);
        var server = new MqttServerFactory().CreateMqttServer(options.Build());
        with(server);
        await server.StartAsync();
        return new OwnBroker(server, port);
    }

    private protected sealed record OwnBroker(MqttServer Server, int Port) : IDisposable
    {
        public void Dispose() => Server.Dispose();
    }

    private protected sealed class Told : ILogger
    {
        private readonly Lock _gate = new();
        private readonly List<string> _warnings = [];

        public List<string> Warnings
        {
            get
            {
                lock (_gate)
                {
                    return [.. _warnings];
                }
            }
        }

        public IDisposable? BeginScope<TState>(TState state)
            where TState : notnull => null;

        public bool IsEnabled(LogLevel logLevel) => true;

        public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
        {
            lock (_gate)
            {
                if (logLevel >= LogLevel.Warning)
                {
                    _warnings.Add(formatter(state, exception));
                }
            }
        }
    }
}
