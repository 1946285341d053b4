using System.Collections.Concurrent;

namespace Evenwater.Page;

/// <summary>A view and how long ago it was put up, s of the machine's monotonic clock.</summary>
/// <param name="View">What was put up.</param>
/// <param name="SilentSeconds">Seconds since.</param>
public readonly record struct Posted(StationView View, double SilentSeconds)
{
    /// <summary>A station that has said nothing for this long is no longer believed, s.</summary>
    public const double SilenceSeconds = 10;

    /// <summary>Whether the station has fallen silent.</summary>
    public bool IsSilent => SilentSeconds > SilenceSeconds;
}

/// <summary>The latest view of every station: written by the loops, read by the page and the terminal, from any thread.</summary>
public sealed class StationBoard(TimeProvider time)
{
    private readonly ConcurrentDictionary<string, (StationView View, long At)> _latest = new(StringComparer.Ordinal);
    private long _count;

    /// <summary>The stations that there are to be: one that goes through its log says nothing yet, while others do.</summary>
    public IReadOnlyList<string> Expected { get; set; } = [];

    /// <summary>Those of which nothing was said yet.</summary>
    public IEnumerable<string> Awaited => Expected.Where(name => !_latest.ContainsKey(name));

    /// <summary>Whether nothing was said of it yet and something may still be: at once after the start that holds for every name.</summary>
    public bool IsAwaited(string name) => Count == 0 || Awaited.Contains(name);

    /// <summary>What is said of a station meanwhile.</summary>
    public static string NotYet(string name) => $"{name} has not reported yet: the program starts it and goes through its log, and its valve is closed.";

    /// <summary>How many views were put up since the start, of all stations.</summary>
    public long Count => Interlocked.Read(ref _count);

    /// <summary>Puts up a view in place of the station's last.</summary>
    public void Post(StationView view)
    {
        _latest[view.Name] = (view, time.GetTimestamp());
        Interlocked.Increment(ref _count);
    }

    /// <summary>The latest view of one station; null when it is unknown.</summary>
    public Posted? Find(string name) => _latest.TryGetValue(name, out var latest) ? Of(latest) : null;

    /// <summary>The latest of all, what needs a person first.</summary>
    public IReadOnlyList<Posted> All() =>
    [
        .. _latest.Values.Select(Of)
            .OrderByDescending(p => Urgency(p))
            .ThenBy(p => p.View.Name, StringComparer.Ordinal),
    ];

    private static int Urgency(Posted posted) => (posted.IsSilent, posted.View.Word) switch
    {
        (_, Core.Telling.StateWord.Act) => 3,
        (true, _) or (_, Core.Telling.StateWord.CannotTell) => 2,
        (_, Core.Telling.StateWord.Look) => 1,
        _ => 0,
    };

    private Posted Of((StationView View, long At) latest) => new(latest.View, time.GetElapsedTime(latest.At).TotalSeconds);
}
