using System.Net;
using System.Security.Cryptography.X509Certificates;
using MQTTnet.Adapter;
using MQTTnet.Diagnostics.Logger;
using MQTTnet.Formatter;
using MQTTnet.Packets;
using MQTTnet.Server;

namespace Evenwater.Followers;

/// <summary>
/// Gives a name to a client of MQTT 3.1.1 that has none, as MQTT 3.1.1, section 3.1.3.1, has a server do when the session
/// is a clean one. The library does so for MQTT 5 only, and would reject the plainest of subscribers.
/// </summary>
internal sealed class NamingAdapter(IMqttServerAdapter inner) : IMqttServerAdapter
{
    public Func<IMqttChannelAdapter, Task> ClientHandler
    {
        get => inner.ClientHandler;
        set => inner.ClientHandler = channel => value(new NamingChannel(channel));
    }

    /// <summary>A name nobody else has.</summary>
    public static string NewName() => $"nameless-{Guid.NewGuid():N}";

    public Task StartAsync(MqttServerOptions options, IMqttNetLogger logger) => inner.StartAsync(options, logger);

    public Task StopAsync() => inner.StopAsync();

    public void Dispose() => inner.Dispose();

    /// <summary>Passes everything on, and writes a name into the first packet where one may be missing.</summary>
    private sealed class NamingChannel(IMqttChannelAdapter inner) : IMqttChannelAdapter
    {
        public long BytesReceived => inner.BytesReceived;

        public long BytesSent => inner.BytesSent;

        public X509Certificate2 ClientCertificate => inner.ClientCertificate;

        public EndPoint RemoteEndPoint => inner.RemoteEndPoint;

        public EndPoint LocalEndPoint => inner.LocalEndPoint;

        public bool IsSecureConnection => inner.IsSecureConnection;

        public MqttPacketFormatterAdapter PacketFormatterAdapter => inner.PacketFormatterAdapter;

        public async Task<MqttPacket> ReceivePacketAsync(CancellationToken cancellationToken)
        {
            var packet = await inner.ReceivePacketAsync(cancellationToken);
            if (packet is MqttConnectPacket { ClientId: null or "", CleanSession: true } connect
                && PacketFormatterAdapter.ProtocolVersion == MqttProtocolVersion.V311)
            {
                connect.ClientId = NewName();
            }

            return packet;
        }

        public Task ConnectAsync(CancellationToken cancellationToken) => inner.ConnectAsync(cancellationToken);

        public Task DisconnectAsync(CancellationToken cancellationToken) => inner.DisconnectAsync(cancellationToken);

        public Task SendPacketAsync(MqttPacket packet, CancellationToken cancellationToken) => inner.SendPacketAsync(packet, cancellationToken);

        public void ResetStatistics() => inner.ResetStatistics();

        public void Dispose() => inner.Dispose();
    }
}
