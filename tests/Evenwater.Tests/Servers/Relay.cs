using System.Net;
using System.Net.Sockets;
using System.Threading.Channels;

namespace Evenwater.Tests.Servers;

/// <summary>
/// A slow line before a server: what comes over it in either direction arrives after so long, in its order and complete; now and then it stalls. A
/// connection that ends is ended at the other side after the same time.
/// </summary>
internal sealed class Relay : IAsyncDisposable
{
    private const double StallShare = 0.05;

    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource _stop = new();
    private readonly List<Task> _running = [];
    private readonly List<TcpClient> _near = [];
    private readonly IPEndPoint _server;
    private readonly Random _random;
    private readonly Lock _gate = new();
    private long _delayTicks;

    /// <param name="port">Where the server listens.</param>
    /// <param name="delay">How long each way takes.</param>
    /// <param name="seed">Of the stalls.</param>
    public Relay(int port, TimeSpan delay, int seed)
    {
        (_server, _random, Delay) = (new IPEndPoint(IPAddress.Loopback, port), new Random(seed), delay);
        _listener.Start();
        Port = ((IPEndPoint)_listener.LocalEndpoint).Port;
        _running.Add(AcceptAsync());
    }

    /// <summary>Where it listens itself.</summary>
    public int Port { get; }

    /// <summary>How long each way takes, for all that is sent from now on; a stall takes half of it more.</summary>
    public TimeSpan Delay
    {
        get => new(Volatile.Read(ref _delayTicks));
        set => Volatile.Write(ref _delayTicks, value.Ticks);
    }

    /// <summary>How many connections there were.</summary>
    public int Connections { get; private set; }

    /// <summary>How many pieces went over it, and how many of them stalled.</summary>
    public (int Pieces, int Stalls) Carried { get; private set; }

    /// <summary>Ends every connection, at both sides and at once.</summary>
    public void Cut()
    {
        lock (_gate)
        {
            _near.ForEach(near => near.Close());
            _near.Clear();
        }
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        _listener.Dispose();
        Task[] running;
        lock (_gate)
        {
            running = [.. _running];
        }

        await Task.WhenAll(running);
        _stop.Dispose();
    }

    private async Task AcceptAsync()
    {
        while (!_stop.IsCancellationRequested)
        {
            try
            {
                var near = await _listener.AcceptTcpClientAsync(_stop.Token);
                Connections++;
                lock (_gate)
                {
                    _near.Add(near);
                    _running.Add(CarryAsync(near));
                }
            }
            catch (Exception e) when (e is OperationCanceledException or SocketException or ObjectDisposedException)
            {
                return;
            }
        }
    }

    private async Task CarryAsync(TcpClient near)
    {
        using var here = near;
        using var far = new TcpClient();
        try
        {
            await far.ConnectAsync(_server, _stop.Token);
            (near.NoDelay, far.NoDelay) = (true, true);
            await Task.WhenAll(OneWayAsync(near, far), OneWayAsync(far, near));
        }
        catch (Exception e) when (e is IOException or SocketException or OperationCanceledException or ObjectDisposedException or InvalidOperationException)
        {
            // One side is gone: so is the other.
        }
    }

    private async Task OneWayAsync(TcpClient from, TcpClient to)
    {
        var line = Channel.CreateBounded<(byte[] Piece, DateTimeOffset Due)>(10_000);
        var putting = PutAsync(line.Reader, to);
        var buffer = new byte[16 * 1024];
        try
        {
            for (int read; (read = await from.GetStream().ReadAsync(buffer, _stop.Token)) > 0;)
            {
                await line.Writer.WriteAsync((buffer[..read], Due()), _stop.Token);
            }
        }
        catch (Exception e) when (e is IOException or ObjectDisposedException or InvalidOperationException)
        {
            // Reset, or cut here: told at the other side as an end.
        }

        await line.Writer.WriteAsync(([], Due()), _stop.Token);
        await putting;
    }

    private DateTimeOffset Due()
    {
        lock (_gate)
        {
            var stalls = _random.NextDouble() < StallShare;
            Carried = (Carried.Pieces + 1, Carried.Stalls + (stalls ? 1 : 0));
            return TimeProvider.System.GetUtcNow() + (Delay * (stalls ? 1.5 : 1));
        }
    }

    private async Task PutAsync(ChannelReader<(byte[] Piece, DateTimeOffset Due)> line, TcpClient to)
    {
        await foreach (var (piece, due) in line.ReadAllAsync(_stop.Token))
        {
            // One after another: what stalls holds up what comes after it.
            if (due - TimeProvider.System.GetUtcNow() is var left && left > TimeSpan.Zero)
            {
                await Task.Delay(left, _stop.Token);
            }

            if (piece.Length == 0)
            {
                to.Close(); // Both ways: nothing is told over half a connection here.
                return;
            }

            await to.GetStream().WriteAsync(piece, _stop.Token);
        }
    }
}
