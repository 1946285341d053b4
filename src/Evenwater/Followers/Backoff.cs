namespace Evenwater.Followers;

/// <summary>Waits longer after each failure in a row, with jitter, so that many daemons do not return to a server at one instant.</summary>
internal sealed class Backoff(TimeSpan first, TimeSpan longest)
{
    private int _failures;

    /// <summary>It works again.</summary>
    public void Reset() => _failures = 0;

    /// <summary>How long to wait now: between half and all of a span that doubles with each failure.</summary>
    public TimeSpan Next()
    {
        var whole = Math.Min(first.TotalSeconds * Math.Pow(2, _failures++), longest.TotalSeconds);
        return TimeSpan.FromSeconds(whole * (0.5 + (Random.Shared.NextDouble() / 2)));
    }
}
