using System.Globalization;

namespace Evenwater.Options;

/// <summary>One program at a time works on a state folder and its hardware.</summary>
internal sealed class StateLock : IDisposable
{
    private readonly FileStream _lock;

    private StateLock(FileStream held) => _lock = held;

    /// <summary>Takes the lock, or says who holds it.</summary>
    public static StateLock? Take(string state, out string holder)
    {
        var pid = Path.Combine(state, "daemon.pid");
        try
        {
            var held = new FileStream(Path.Combine(state, "daemon.lock"), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
            File.WriteAllText(pid, Environment.ProcessId.ToString(CultureInfo.InvariantCulture));
            holder = "";
            return new StateLock(held);
        }
        catch (IOException)
        {
            holder = File.Exists(pid) ? $"process {File.ReadAllText(pid).Trim()}" : "another process";
            return null;
        }
    }

    public void Dispose() => _lock.Dispose();
}
