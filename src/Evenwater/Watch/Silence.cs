namespace Evenwater.Watch;

/// <summary>Which stations have not been heard for too long. Knows nothing of brokers; the time is given, monotonic.</summary>
/// <param name="limit">How long a station may be silent.</param>
/// <param name="grace">How long after each connection nobody is called silent: the daemon, too, must first find the broker again, which takes it up to 30 s.</param>
internal sealed class Silence(TimeSpan limit, TimeSpan grace)
{
    private readonly Lock _gate = new();
    private readonly Dictionary<string, (TimeSpan Since, bool Spoke, bool Told)> _stations = new(StringComparer.Ordinal);
    private TimeSpan _connectedAt;

    /// <summary>There is such a station; its silence counts from the first time that this was said.</summary>
    public void Know(string station, TimeSpan now)
    {
        lock (_gate)
        {
            _stations.TryAdd(station, (now, false, false));
        }
    }

    /// <summary>It said something itself, just now.</summary>
    public void Heard(string station, TimeSpan now)
    {
        lock (_gate)
        {
            _stations[station] = (now, true, _stations.GetValueOrDefault(station).Told);
        }
    }

    /// <summary>There is no such station any more.</summary>
    public void Forget(string station)
    {
        lock (_gate)
        {
            _stations.Remove(station);
        }
    }

    /// <summary>Its alarm stands at the broker, or does not; what it said before that clears nothing.</summary>
    public void Told(string station, bool stands, TimeSpan now)
    {
        lock (_gate)
        {
            _stations[station] = (_stations.TryGetValue(station, out var known) ? known.Since : now, false, stands);
        }
    }

    /// <summary>The broker is there, again. Whether it still keeps an alarm it must say: one that crashed may have lost it.</summary>
    public void Connected(TimeSpan now)
    {
        lock (_gate)
        {
            _connectedAt = now;
            foreach (var (station, known) in _stations)
            {
                _stations[station] = known with { Told = false };
            }
        }
    }

    /// <summary>Stations whose alarm is to be raised (true) or cleared (false) now.</summary>
    public IReadOnlyList<(string Station, bool Raise)> Due(TimeSpan now)
    {
        lock (_gate)
        {
            return
            [
                .. _stations.Where(s => s.Value.Told ? s.Value.Spoke : now - s.Value.Since >= limit && now - _connectedAt >= grace)
                    .Select(s => (s.Key, !s.Value.Told)),
            ];
        }
    }
}
