using System.Diagnostics;
using System.Net.Sockets;
using System.Text;
using Evenwater.Running;

namespace Evenwater.Watch;

/// <summary>
/// Tells systemd what the <see cref="Supervisor"/> decides, from a thread of its own: a thread pool that is busy must not look like a hung
/// daemon. Speaks the notify protocol itself, sd_notify(3): one datagram of text to the socket named in NOTIFY_SOCKET.
/// </summary>
internal sealed class SystemdWatch(RunPlan plan, Heartbeat heartbeat, IHostApplicationLifetime lifetime, ILogger<SystemdWatch> logger) : BackgroundService
{
    private static readonly TimeSpan First = TimeSpan.FromMilliseconds(50);

    /// <summary>
    /// A stop may take longer than the watchdog's patience: five seconds for the host and a last commit. From then on only TimeoutStopSec= counts, and this
    /// as its backstop.
    /// </summary>
    private const string Stopping = "STOPPING=1\nWATCHDOG=1\nWATCHDOG_USEC=15000000";

    /// <summary>The socket to notify, or null when systemd did not start this.</summary>
    private static string? SocketPath => Environment.GetEnvironmentVariable("NOTIFY_SOCKET") is { Length: > 1 } path ? path : null;

    protected override Task ExecuteAsync(CancellationToken stoppingToken) => SocketPath is null
        ? Task.CompletedTask
        : Task.Factory.StartNew(() => Supervise(stoppingToken), CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);

    private void Supervise(CancellationToken stop)
    {
        using var stopping = CancellationTokenSource.CreateLinkedTokenSource(stop, lifetime.ApplicationStopping); // the stations stand still from then on
        // A quarter: one datagram may be late by three looks before the watchdog bites. sd_watchdog_enabled(3) asks for half at the most.
        var every = Microseconds("WATCHDOG_USEC") is { } limit ? limit / 4 : TimeSpan.FromSeconds(2);
        var supervisor = new Supervisor(heartbeat, [.. plan.Stations.Select(s => s.Name)], every);
        var started = Stopwatch.GetTimestamp();
        var troubled = false;
        while (!stopping.Token.WaitHandle.WaitOne(supervisor.Ready ? every : First))
        {
            if (supervisor.Look(Stopwatch.GetElapsedTime(started)) is { } text)
            {
                Send(text);
            }

            if (supervisor.Ready && troubled != supervisor.Troubles.Count > 0)
            {
                troubled = !troubled;
                Say(troubled, supervisor.Troubles);
            }
        }

        Send(Stopping);
    }

    private void Say(bool troubled, IReadOnlyList<string> troubles)
    {
        if (troubled)
        {
            logger.LogCritical("The watchdog is not fed: {Troubles}.", string.Join("; ", troubles));
        }
        else
        {
            logger.LogWarning("The watchdog is fed again: every task goes on.");
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
