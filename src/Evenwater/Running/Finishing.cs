using Evenwater.Core.Telling;

namespace Evenwater.Running;

/// <summary>
/// Who is led through the end of a run just now: meanwhile nobody else goes on with it, or water would run into a vessel that is being emptied. It lasts while the terminal that
/// leads says so every few seconds; one that is gone holds up nobody. From any thread.
/// </summary>
/// <param name="time">What it is counted by.</param>
internal sealed class Finishing(TimeProvider time)
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

    /// <summary>Why nobody goes on with a held run just now, and what to do; or null.</summary>
    public string? WhyNot(string station)
    {
        lock (_gate)
        {
            return Current is not { } latest ? null
                : $"Refused: {latest.By} is ending the run of {station} step by step, for {TimeWords.Age(time.GetElapsedTime(latest.Since).TotalSeconds)} now, and the vessel may be empty by this. "
                    + $"Ask {latest.By}: it can go on {Lasts.TotalSeconds:0} s after that was broken off there (Ctrl-C). Or end it yourself with 'evenwater finish', measure what is in the vessel, and begin another.";
        }
    }

    private (string By, long Since, long Said)? Current => _latest is { } latest && time.GetElapsedTime(latest.Said) < Lasts ? latest : null;
}
