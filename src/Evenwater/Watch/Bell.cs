using System.ComponentModel;
using System.Diagnostics;

namespace Evenwater.Watch;

/// <summary>Runs the keeper's own command, without a shell; never two at once.</summary>
/// <param name="command">The program and its arguments; null: there is none.</param>
/// <param name="logger">Told what came of it.</param>
internal sealed class Bell(IReadOnlyList<string>? command, ILogger logger)
{
    /// <summary>What still runs then is ended. Our own choice.</summary>
    private static readonly TimeSpan Longest = TimeSpan.FromMinutes(2);

    /// <summary>Runs it to its end.</summary>
    public async Task RingAsync(CancellationToken stop)
    {
        if (command is null)
        {
            logger.LogWarning("No command is configured in ring, so nobody is told.");
            return;
        }

        try
        {
            using var process = Process.Start(new ProcessStartInfo(command[0], command.Skip(1)))!;
            try
            {
                await process.WaitForExitAsync(stop).WaitAsync(Longest, stop);
                logger.LogWarning("{Command} ended with {Exit}", command[0], process.ExitCode);
            }
            catch (Exception e) when (e is TimeoutException or OperationCanceledException)
            {
                End(process, command[0]);
            }
        }
        catch (Exception e) when (e is Win32Exception or IOException)
        {
            logger.LogError("{Command} can not be run: {Reason}", command[0], e.Message);
        }
    }

    /// <summary>What runs as another user, as by sudo, may not let itself be ended: that is no reason to watch no longer.</summary>
    private void End(Process process, string name)
    {
        try
        {
            process.Kill(entireProcessTree: true);
            logger.LogWarning("{Command} was ended: it still ran", name);
        }
        catch (AggregateException e)
        {
            logger.LogError("{Command} still runs and can not be ended ({Reason}). End it by hand, and let it run as the user who watches.", name, e.InnerException?.Message);
        }
    }
}
