using System.Collections.Concurrent;
using System.Diagnostics;

namespace Evenwater.Watch;

/// <summary>Knows when each station last completed a cycle. The watchdog is fed from this alone, never from a bare timer.</summary>
internal sealed class Heartbeat
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(3);

    private readonly ConcurrentDictionary<string, long> _beats = new(StringComparer.Ordinal);

    /// <summary>A station has completed a cycle.</summary>
    public void Beat(string station) => _beats[station] = Stopwatch.GetTimestamp();

    /// <summary>Whether every one of these stations has completed a cycle lately.</summary>
    public bool AllBeat(IEnumerable<string> stations) =>
        stations.All(s => _beats.TryGetValue(s, out var at) && Stopwatch.GetElapsedTime(at) < Patience);
}
