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
                process.Kill(entireProcessTree: true);
                logger.LogWarning("{Command} was ended: it still ran", command[0]);
            }
        }
        catch (Exception e) when (e is Win32Exception or IOException)
        {
            logger.LogError("{Command} can not be run: {Reason}", command[0], e.Message);
        }
    }
}
