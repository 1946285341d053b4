using System.Net;
using System.Net.Sockets;

namespace Evenwater.Tests.Latency;

/// <summary>Clients of the page that keep to no rule: some say half a request and go on a letter a second, some send what is no request at all. Each comes from an address of its own and back again at once.</summary>
internal sealed class RudeClients : IDisposable
{
    private readonly CancellationTokenSource _stop = new();
    private readonly List<Task> _all;
    private long _ended;

    /// <summary>Begins at once.</summary>
    /// <param name="port">The page's, on 127.0.0.1.</param>
    /// <param name="slow">How many are slow.</param>
    /// <param name="garbled">How many send garbage.</param>
    public RudeClients(int port, int slow, int garbled) => _all =
    [
        .. Enumerable.Range(0, slow).Select(i => AgainAsync(port, 100 + i, SlowAsync)),
        .. Enumerable.Range(0, garbled).Select(i => AgainAsync(port, 200 + i, GarbleAsync)),
    ];

    /// <summary>Connections that the page has ended.</summary>
    public long Ended => Interlocked.Read(ref _ended);

    public void Dispose()
    {
        if (_stop.IsCancellationRequested)
        {
            return;
        }

        _stop.Cancel();
        Task.WaitAll([.. _all], TimeSpan.FromSeconds(5));
        _stop.Dispose();
    }

    private async Task AgainAsync(int port, int from, Func<Socket, CancellationToken, Task> speak)
    {
        while (!_stop.IsCancellationRequested)
        {
            try
            {
                using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
                socket.Bind(new IPEndPoint(IPAddress.Parse($"127.0.0.{from}"), 0));
                await socket.ConnectAsync(IPAddress.Loopback, port, _stop.Token);
                await speak(socket, _stop.Token);
            }
            catch (SocketException)
            {
                Interlocked.Increment(ref _ended);
                await Task.Delay(20).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
            catch (OperationCanceledException)
            {
                return;
            }
        }
    }

    private static async Task SlowAsync(Socket socket, CancellationToken stop)
    {
        await socket.SendAsync("GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Long: "u8.ToArray(), stop);
        while (true)
        {
            await Task.Delay(1000, stop);
            await socket.SendAsync("x"u8.ToArray(), stop);
        }
    }

    private static async Task GarbleAsync(Socket socket, CancellationToken stop)
    {
        var bytes = new byte[1024];
        Random.Shared.NextBytes(bytes);
        await socket.SendAsync(bytes, stop);
        while (await socket.ReceiveAsync(bytes, stop) > 0)
        {
        }

        throw new SocketException((int)SocketError.ConnectionReset);
    }
}
