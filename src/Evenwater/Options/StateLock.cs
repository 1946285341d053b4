using System.Diagnostics;

namespace Evenwater.Options;

/// <summary>One program at a time works on a state folder and its hardware.</summary>
internal sealed class StateLock : IDisposable
{
    /// <summary>EWOULDBLOCK, what flock(2) gives for a lock that another has (errno(3); the same number on both processors).</summary>
    private const int HeldByAnother = 11;

    private readonly FileStream _lock;

    private StateLock(FileStream held) => _lock = held;

    /// <summary>Takes the lock, or says who holds it.</summary>
    /// <exception cref="IOException">It can not be taken, whoever holds it: the message says what to do.</exception>
    public static StateLock? Take(string state, out string holder)
    {
        var pid = Path.Combine(state, "daemon.pid");
        FileStream held;
        try
        {
            held = new FileStream(Path.Combine(state, "daemon.lock"), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
        }
        catch (UnauthorizedAccessException e)
        {
            throw new IOException($"the state folder {state} is not this user's ({e.Message}). Do it as the user that the daemon runs as (sudo -u evenwater); what another user has left there, as root does, give back with: chown -R evenwater: {state}", e);
        }
        catch (IOException e) when (e.HResult != HeldByAnother)
        {
            throw new IOException($"the state folder {state} can not be written ({e.Message}). Of a card that has become read-only keep what can be read, and take another; on a full disk make room.", e);
        }
        catch (IOException)
        {
            holder = Read(pid) is { Length: > 0 } number ? $"process {number}" : "another process";
            return null;
        }

        try
        {
            File.WriteAllText(pid, Environment.ProcessId.ToString());
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // A full disk, or another user's file: the lock holds all the same, and who asks for its holder hears of "another process".
        }

        holder = "";
        return new StateLock(held);
    }

    /// <summary>
    /// Takes the lock for the daemon. Who looks at the probes or writes a note while no daemon runs has it for a while: that is waited for, since the service manager would not start again what
    /// ended because of it.
    /// </summary>
    /// <param name="state">The state folder.</param>
    /// <param name="patience">How long.</param>
    /// <param name="waits">Told each time who has it; false: there is nothing to wait for.</param>
    /// <param name="stop">Calls it off.</param>
    public static async Task<StateLock?> WaitAsync(string state, TimeSpan patience, Func<string, Task<bool>> waits, CancellationToken stop)
    {
        for (var began = Stopwatch.GetTimestamp(); ;)
        {
            var held = Take(state, out var holder);
            if (held is not null || !await waits(holder) || stop.IsCancellationRequested || Stopwatch.GetElapsedTime(began) > patience)
            {
                return held;
            }

            await Task.Delay(TimeSpan.FromMilliseconds(200), stop).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private static string Read(string pid)
    {
        try
        {
            return File.ReadAllText(pid).Trim();
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return "";
        }
    }

    public void Dispose() => _lock.Dispose();
}
