using System.Net;
using System.Net.Sockets;
using MQTTnet.Formatter;
using MQTTnet.Server;

namespace Evenwater.Followers;

/// <summary>A broker inside the program, reachable from this computer only: for the demo and for trying things out. It keeps nothing on the disk.</summary>
internal sealed class EmbeddedBroker : IAsyncDisposable
{
    public const int DefaultPort = 18830;

    private readonly MqttServer _server;

    private EmbeddedBroker(MqttServer server) => _server = server;

    /// <summary>Starts it.</summary>
    /// <exception cref="IOException">The port is taken; the message names it.</exception>
    public static async Task<EmbeddedBroker> StartAsync(int port = DefaultPort)
    {
        var factory = new MqttServerFactory();
        var options = new MqttServerOptionsBuilder()
            .WithDefaultEndpoint()
            .WithDefaultEndpointPort(port)
            .WithDefaultEndpointBoundIPAddress(IPAddress.Loopback)
            .WithDefaultEndpointBoundIPV6Address(IPAddress.None)
            .WithPersistentSessions()
            .WithMaxPendingMessagesPerClient(5000)
            .Build();
        var server = factory.CreateMqttServer(options, factory.DefaultServerAdapters.Select(make => new NamingAdapter(make(factory))));
        server.ValidatingConnectionAsync += connection =>
        {
            // MQTT 5, section 3.1.3.1: the server tells the client the name that it gave.
            if (connection.ProtocolVersion == MqttProtocolVersion.V500 && string.IsNullOrEmpty(connection.ClientId))
            {
                connection.AssignedClientIdentifier = NamingAdapter.NewName();
            }

            return Task.CompletedTask;
        };
        try
        {
            await server.StartAsync();
            return new EmbeddedBroker(server);
        }
        catch (SocketException e)
        {
            server.Dispose();
            throw new IOException(
                $"the embedded MQTT broker can not listen on 127.0.0.1:{port} ({e.Message}); is the program already running? "
                + $"`ss -ltnp 'sport = :{port}'` names the holder; choose another port by mqtt.port",
                e);
        }
    }

    public async ValueTask DisposeAsync()
    {
        await _server.StopAsync(new MqttServerStopOptions());
        _server.Dispose();
    }
}
