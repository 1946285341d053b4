using System.Net.Sockets;
using System.Text;
using Evenwater.Running;

namespace Evenwater.Watch;

/// <summary>
/// Tells systemd READY once every station has completed a cycle, and WATCHDOG from then on while they go on doing so.
/// Speaks the notify protocol itself, sd_notify(3): one datagram of text to the socket named in NOTIFY_SOCKET.
/// </summary>
internal sealed class SystemdWatch(RunPlan plan, Heartbeat heartbeat, ILogger<SystemdWatch> logger) : BackgroundService
{
    private static readonly TimeSpan First = TimeSpan.FromMilliseconds(100);

    /// <summary>The socket to notify, or null when systemd did not start this.</summary>
    private static string? SocketPath => Environment.GetEnvironmentVariable("NOTIFY_SOCKET") is { Length: > 1 } path ? path : null;

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        if (SocketPath is null)
        {
            return;
        }

        var every = Microseconds("WATCHDOG_USEC") is { } limit ? limit / 3 : TimeSpan.FromSeconds(10);
        var ready = false;
        try
        {
            while (true)
            {
                await Task.Delay(ready ? every : First, stoppingToken);
                if (!heartbeat.AllBeat(plan.Stations.Select(s => s.Name)))
                {
                    continue;
                }

                Send(ready ? "WATCHDOG=1" : "READY=1\nWATCHDOG=1");
                ready = true;
            }
        }
        catch (OperationCanceledException) when (stoppingToken.IsCancellationRequested)
        {
            Send("STOPPING=1");
        }
    }

    private void Send(string text)
    {
        try
        {
            var path = SocketPath!;
            var endpoint = new UnixDomainSocketEndPoint(path[0] == '@' ? $"\0{path[1..]}" : path);
            using var socket = new Socket(AddressFamily.Unix, SocketType.Dgram, ProtocolType.Unspecified);
            socket.SendTo(Encoding.UTF8.GetBytes(text), endpoint);
        }
        catch (SocketException e)
        {
            logger.LogWarning("systemd could not be told {Text}: {Why}", text, e.Message);
        }
    }

    private static TimeSpan? Microseconds(string variable) =>
        long.TryParse(Environment.GetEnvironmentVariable(variable), out var microseconds) && microseconds > 0
            ? TimeSpan.FromMicroseconds(microseconds)
            : null;
}
