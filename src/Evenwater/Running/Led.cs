namespace Evenwater.Running;

/// <summary>
/// Whom a terminal leads through something just now that nobody may open a valve into. It lasts while the terminal says so every few seconds; one that is gone holds up nobody.
/// From any thread.
/// </summary>
/// <param name="time">What it is counted by.</param>
internal sealed class Led(TimeProvider time)
{
    /// <summary>The terminal that leads says so this often.</summary>
    public static readonly TimeSpan SaidEvery = TimeSpan.FromSeconds(3);

    /// <summary>Unsaid for so long it is over: three times in vain.</summary>
    public static readonly TimeSpan Lasts = TimeSpan.FromSeconds(10);

    private readonly Lock _gate = new();
    private (string By, long Since, long Said)? _latest;

    /// <summary>Somebody is led through it.</summary>
    public void Say(string by)
    {
        lock (_gate)
        {
            var now = time.GetTimestamp();
            _latest = (by, Current?.Since ?? now, now);
        }
    }

    /// <summary>It is over. Another who is led as well says so again within seconds.</summary>
    public void End()
    {
        lock (_gate)
        {
            _latest = null;
        }
    }

    /// <summary>Who is led, and for how many seconds; or null.</summary>
    public (string By, double Seconds)? Now
    {
        get
        {
            lock (_gate)
            {
                return Current is { } latest ? (latest.By, time.GetElapsedTime(latest.Since).TotalSeconds) : null;
            }
        }
    }

    private (string By, long Since, long Said)? Current => _latest is { } latest && time.GetElapsedTime(latest.Said) < Lasts ? latest : null;
}
