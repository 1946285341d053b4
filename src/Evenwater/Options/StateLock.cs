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
        FileStream held;
        try
        {
            held = new FileStream(Path.Combine(state, "daemon.lock"), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
        }
        catch (IOException)
        {
            holder = Read(pid) is { Length: > 0 } number ? $"process {number}" : "another process";
            return null;
        }

        try
        {
            File.WriteAllText(pid, Environment.ProcessId.ToString(CultureInfo.InvariantCulture));
        }
        catch (IOException)
        {
            // A full disk: the lock holds all the same, and who asks for its holder hears of "another process".
        }

        holder = "";
        return new StateLock(held);
    }

    private static string Read(string pid)
    {
        try
        {
            return File.ReadAllText(pid).Trim();
        }
        catch (IOException)
        {
            return "";
        }
    }

    public void Dispose() => _lock.Dispose();
}
