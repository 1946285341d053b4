namespace Evenwater.Running;

/// <summary>Lets go of all stations at once: who waits for a slow bus must not keep the next one's valve open, nor all of them together the log's last commit waiting until the process is ended.</summary>
internal static class Stopping
{
    /// <summary>Disposes each, and returns when all are. One that can not be let go keeps no other from closing.</summary>
    /// <param name="stations">The stations.</param>
    /// <param name="broken">Told of what went wrong.</param>
    public static void All(IReadOnlyCollection<IDisposable> stations, Action<Exception> broken)
    {
        List<Thread> threads = [.. stations.Select(station => new Thread(() => LetGo(station, broken)) { IsBackground = true, Name = "stop" })];
        threads.ForEach(thread => thread.Start());
        threads.ForEach(thread => thread.Join());
    }

    private static void LetGo(IDisposable station, Action<Exception> broken)
    {
        try
        {
            station.Dispose();
        }
        catch (Exception e)
        {
            broken(e);
        }
    }
}
