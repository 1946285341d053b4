using System.Collections.Concurrent;

namespace Evenwater.Watch;

/// <summary>
/// Every task that has to be alive for the watchdog to be fed: of each station the probes, the guard, its cycles and the valve's pulses; and the
/// log's writer. The supervisor asks; no task feeds anything itself.
/// </summary>
internal sealed class Heartbeat
{
    private const string CycleOf = " cycle";

    private readonly ConcurrentDictionary<string, WatchedTask> _tasks = new(StringComparer.Ordinal);

    /// <summary>Counts what a start has done before any task turns: the cycles of a run that are gone through again. A run that was left unfinished for weeks has millions.</summary>
    public Beat Start { get; } = new();

    /// <summary>Has a task watched from now on, and gives what it counts its turns with.</summary>
    public Beat Watch(string task, TimeSpan longestSilence, double mostPerSecond)
    {
        var beat = new Beat();
        Watch(task, () => beat.Count, longestSilence, mostPerSecond);
        return beat;
    }

    /// <summary>Has a task watched that counts its own turns.</summary>
    public void Watch(string task, Func<long> turns, TimeSpan longestSilence, double mostPerSecond) =>
        _tasks[task] = new WatchedTask(task, turns, longestSilence, mostPerSecond);

    /// <summary>Has the completed cycles of a station watched: without them nothing is ready, however busy the threads are.</summary>
    public Beat WatchCycle(string station, TimeSpan longestSilence, double mostPerSecond) => Watch(station + CycleOf, longestSilence, mostPerSecond);

    /// <summary>All that is wrong at <paramref name="now"/>; empty when each of these stations completes its cycles and every task is as it should be.</summary>
    public IReadOnlyList<string> Troubles(IEnumerable<string> stations, TimeSpan now)
    {
        List<string> troubles = [.. stations.Where(s => !_tasks.ContainsKey(s + CycleOf)).Select(s => $"'{s}{CycleOf}' has not begun yet")];
        // Each is asked every time: a task that is not looked at would seem to have stood still.
        troubles.AddRange(_tasks.Values.Select(t => t.Trouble(now)).OfType<string>().Order(StringComparer.Ordinal));
        return troubles;
    }
}
