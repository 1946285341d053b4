using System.Security;
using System.Threading.Channels;
using MQTTnet;

namespace Evenwater.Followers;

/// <summary>
/// What is on its way to the broker over one connection and not yet acknowledged: never more than the broker takes at once (MQTT 5, section 4.9). What is
/// sent by one caller leaves in the order of its calls.
/// </summary>
/// <param name="client">The connection.</param>
/// <param name="receiveMaximum">What the broker says that it takes at once, 1 to 65535; 0: it said nothing.</param>
/// <param name="ackTime">How long an acknowledgement may take.</param>
internal sealed class MqttFlight(IMqttClient client, int receiveMaximum, TimeSpan ackTime)
{
    /// <summary>Most at once, whatever the broker takes: more did not make it faster. Measured with mosquitto 2.0.11, which takes 20.</summary>
    public const int Most = 20;

    private readonly Channel<bool> _places = Channel.CreateBounded<bool>(receiveMaximum == 0 ? Most : Math.Min(receiveMaximum, Most));

    /// <summary>Waits for a place and sends; what it gives ends with the acknowledgement, as <see cref="PublishAsync"/> does.</summary>
    public async Task<Task> SendAsync(MqttApplicationMessage message, CancellationToken cancellation)
    {
        if (!_places.Writer.TryWrite(true))
        {
            await _places.Writer.WriteAsync(true, cancellation).AsTask().WaitAsync(ackTime, cancellation);
        }

        return AcknowledgedAsync(message, cancellation);
    }

    /// <summary>Sends and waits for the acknowledgement.</summary>
    /// <exception cref="IOException">The broker does not take it.</exception>
    /// <exception cref="SecurityException">Nor will it, until its access list is another.</exception>
    /// <exception cref="TimeoutException">No acknowledgement in time: the connection is dead, whatever it says of itself.</exception>
    public async Task PublishAsync(MqttApplicationMessage message, CancellationToken cancellation) => await await SendAsync(message, cancellation);

    private async Task AcknowledgedAsync(MqttApplicationMessage message, CancellationToken cancellation)
    {
        var result = await client.PublishAsync(message, cancellation).WaitAsync(ackTime, cancellation);
        _places.Reader.TryRead(out _);
        if (!result.IsSuccess)
        {
            var why = $"the broker does not take {message.Topic}: {result.ReasonCode} {result.ReasonString}";
            throw result.ReasonCode == MqttClientPublishReasonCode.NotAuthorized ? new SecurityException(why) : new IOException(why);
        }
    }
}
