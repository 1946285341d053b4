using Evenwater.Tests.Page;
using MQTTnet;
using MQTTnet.Formatter;

namespace Evenwater.Tests.Latency;

/// <summary>Who wants too much: the page fetched and commands sent, each again at once, by several side by side.</summary>
internal sealed class Floods(ServedPage page, int brokerPort, IReadOnlyList<string> stations)
{
    private const int Each = 4;

    private long _pages;
    private long _asks;

    public long Pages => Interlocked.Read(ref _pages);

    public long Asks => Interlocked.Read(ref _asks);

    public Task RunAsync(CancellationToken stop) => Task.WhenAll(
        Enumerable.Range(0, Each).SelectMany(_ => new[] { Task.Run(() => FetchAsync(stop), CancellationToken.None), Task.Run(() => AskAsync(stop), CancellationToken.None) }));

    private async Task FetchAsync(CancellationToken stop)
    {
        while (!stop.IsCancellationRequested)
        {
            try
            {
                using var answer = await page.Client.GetAsync(new Uri("/", UriKind.Relative), stop);
                await answer.Content.ReadAsByteArrayAsync(stop);
                answer.EnsureSuccessStatusCode();
                Interlocked.Increment(ref _pages);
            }
            catch (Exception e) when (e is HttpRequestException or OperationCanceledException)
            {
                // Turned away: that is the server's right in a flood.
            }
        }
    }

    private async Task AskAsync(CancellationToken stop)
    {
        using var client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(
            new MqttClientOptionsBuilder().WithProtocolVersion(MqttProtocolVersion.V500).WithTcpServer("127.0.0.1", brokerPort).Build(), CancellationToken.None);
        for (var i = 0; !stop.IsCancellationRequested; i++)
        {
            await client.PublishAsync(
                new MqttApplicationMessageBuilder().WithTopic($"evenwater/v1/{stations[i % stations.Count]}/ask/{(i % 2 == 0 ? "open" : "challenge")}").WithPayload("{}").Build(),
                CancellationToken.None);
            Interlocked.Increment(ref _asks);
        }
    }
}
