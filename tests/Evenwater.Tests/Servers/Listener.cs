using System.Collections.Concurrent;
using System.Text;
using MQTTnet;
using MQTTnet.Formatter;

namespace Evenwater.Tests.Servers;

/// <summary>A subscriber with a session that outlives its connections; it connects again when it is cut off, and sees the retain flag as it was published.</summary>
internal sealed class Listener : IAsyncDisposable
{
    private readonly IMqttClient _client = new MqttClientFactory().CreateMqttClient();
    private readonly CancellationTokenSource _stop = new();
    private readonly ConcurrentQueue<MqttApplicationMessage> _heard = new();
    private readonly TaskCompletionSource _subscribed = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly MqttClientOptions _options;
    private readonly string _filter;
    private readonly Task _loop;

    private Listener(string address, int port, string filter, Action<MqttClientOptionsBuilder>? access)
    {
        _filter = filter;
        var builder = new MqttClientOptionsBuilder()
            .WithProtocolVersion(MqttProtocolVersion.V500)
            .WithTcpServer(address, port)
            .WithClientId("listener-" + Guid.NewGuid())
            .WithCleanStart(false)
            .WithSessionExpiryInterval(600)
            .WithTimeout(TimeSpan.FromSeconds(10));
        access?.Invoke(builder);
        _options = builder.Build();
        _client.ApplicationMessageReceivedAsync += e =>
        {
            _heard.Enqueue(e.ApplicationMessage);
            return Task.CompletedTask;
        };
        _loop = ConnectAgainAndAgainAsync();
    }

    /// <summary>Why it could not connect or subscribe when it last could not, or null.</summary>
    public string? Trouble { get; private set; }

    public bool IsConnected => _client.IsConnected;

    /// <summary>All that was heard, in order.</summary>
    public IReadOnlyList<MqttApplicationMessage> Heard => [.. _heard];

    public static Task<Listener> StartAsync(int port, string filter = "evenwater/v1/#") => StartAsync("127.0.0.1", port, filter, null);

    /// <summary>One that must show who it is.</summary>
    public static async Task<Listener> StartAsync(string address, int port, string filter, Action<MqttClientOptionsBuilder>? access)
    {
        var listener = new Listener(address, port, filter, access);
        await listener._subscribed.Task.WaitAsync(TimeSpan.FromSeconds(30));
        return listener;
    }

    /// <summary>The text of the first message that satisfies the condition, waiting for it.</summary>
    public async Task<MqttApplicationMessage> WaitForAsync(Func<MqttApplicationMessage, bool> condition, double seconds = 30)
    {
        for (var i = 0; i < seconds * 50; i++)
        {
            if (_heard.FirstOrDefault(condition) is { } found)
            {
                return found;
            }

            await Task.Delay(20);
        }

        throw new TimeoutException("not heard; heard: " + string.Join("; ", _heard.TakeLast(10).Select(m => $"{m.Topic} {m.ConvertPayloadToString()}")));
    }

    public static long? Sequence(MqttApplicationMessage message) =>
        message.UserProperties?.FirstOrDefault(p => p.Name == "sequence") is { } property
            ? long.Parse(Encoding.UTF8.GetString(property.ValueBuffer.Span))
            : null;

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _loop;
        _client.Dispose();
        _stop.Dispose();
    }

    private async Task ConnectAgainAndAgainAsync()
    {
        var subscribed = false;
        while (!_stop.IsCancellationRequested)
        {
            try
            {
                if (!_client.IsConnected)
                {
                    var result = await _client.ConnectAsync(_options, _stop.Token);
                    if (!result.IsSessionPresent || !subscribed)
                    {
                        subscribed = false; // until it is acknowledged
                        await _client.SubscribeAsync(
                            new MqttClientSubscribeOptionsBuilder().WithTopicFilter(f => f.WithTopic(_filter).WithAtLeastOnceQoS().WithRetainAsPublished()).Build(),
                            _stop.Token);
                        subscribed = true;
                    }

                    _subscribed.TrySetResult();
                }
            }
            catch (Exception e) when (e is MQTTnet.Exceptions.MqttCommunicationException or OperationCanceledException or InvalidOperationException)
            {
                // The broker is away; the next round tries again.
                Trouble = e.Message;
            }

            await Task.Delay(50, _stop.Token).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }
}
