namespace Evenwater.Watch;

/// <summary>
/// Decides when systemd is told that all is well: READY when every task has completed its first turn, WATCHDOG from then on while all of them
/// go on. Before that it asks for more time as long as the start goes on. Given its time, so that it can be tried without waiting.
/// </summary>
/// <param name="heartbeat">Whom it watches.</param>
/// <param name="stations">The stations that must complete cycles.</param>
/// <param name="every">How often it looks and may tell.</param>
internal sealed class Supervisor(Heartbeat heartbeat, IReadOnlyList<string> stations, TimeSpan every)
{
    /// <summary>More time, s: as much as the unit gives from the first (TimeoutStartSec=), to be asked for again within it (sd_notify(3)).</summary>
    private const string MoreTime = "EXTEND_TIMEOUT_USEC=60000000";

    private static readonly TimeSpan AskEvery = TimeSpan.FromSeconds(10);

    private TimeSpan? _told;
    private TimeSpan _asked;
    private long _begun;
    private bool _ready;

    /// <summary>What is wrong as of the last look; empty when nothing is.</summary>
    public IReadOnlyList<string> Troubles { get; private set; } = [];

    /// <summary>Whether READY was told.</summary>
    public bool Ready => _ready;

    /// <summary>Looks at every task; what to tell systemd now, or null for nothing.</summary>
    public string? Look(TimeSpan now)
    {
        Troubles = heartbeat.Troubles(stations, now);
        if (!_ready && Troubles.Count > 0 && now - _asked >= AskEvery && heartbeat.Start.Count is var begun && begun != _begun)
        {
            (_asked, _begun) = (now, begun);
            return MoreTime;
        }

        if (Troubles.Count > 0 || (_told is { } last && now - last < every / 2))
        {
            // Too soon after the last: then it is this loop that spins, and must not keep the watchdog content.
            return null;
        }

        var text = _ready ? "WATCHDOG=1" : "READY=1\nWATCHDOG=1";
        (_told, _ready) = (now, true);
        return text;
    }
}
