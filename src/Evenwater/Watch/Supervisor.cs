namespace Evenwater.Watch;

/// <summary>
/// Decides when systemd is told that all is well: READY when every task has completed its first turn, WATCHDOG from then on while all of them
/// go on. Given its time, so that it can be tried without waiting.
/// </summary>
/// <param name="heartbeat">Whom it watches.</param>
/// <param name="stations">The stations that must complete cycles.</param>
/// <param name="every">How often it looks and may tell.</param>
internal sealed class Supervisor(Heartbeat heartbeat, IReadOnlyList<string> stations, TimeSpan every)
{
    private TimeSpan? _told;
    private bool _ready;

    /// <summary>What is wrong as of the last look; empty when nothing is.</summary>
    public IReadOnlyList<string> Troubles { get; private set; } = [];

    /// <summary>Whether READY was told.</summary>
    public bool Ready => _ready;

    /// <summary>Looks at every task; what to tell systemd now, or null for nothing.</summary>
    public string? Look(TimeSpan now)
    {
        Troubles = heartbeat.Troubles(stations, now);
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
