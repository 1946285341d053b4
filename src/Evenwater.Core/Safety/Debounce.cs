namespace Evenwater.Core.Safety;

/// <summary>
/// A switch that counts only after reading the same for a while. Until it has done so once it is unknown,
/// and unknown is never "dry". Polled at 20 Hz; common practice, no source: 50 ms to 1 s against waves.
/// </summary>
public struct Debounce
{
    private bool _candidate;
    private bool _hasCandidate;
    private bool _settled;
    private bool _hasSettled;
    private MonotonicTime _since;

    /// <summary>Takes one raw sample and gives the settled one: 0 or 1, or the reason there is none.</summary>
    /// <param name="raw">The level as polled.</param>
    /// <param name="debounceSeconds">How long it must read the same, s.</param>
    public RawSample Update(in RawSample raw, double debounceSeconds)
    {
        if (raw.Reason != Reason.None)
        {
            this = default;
            return raw;
        }

        var level = raw.Code != 0;
        if (!_hasCandidate || level != _candidate)
        {
            _candidate = level;
            _hasCandidate = true;
            _since = raw.TakenAt;
        }

        if (raw.TakenAt.SecondsSince(_since) >= debounceSeconds)
        {
            _settled = level;
            _hasSettled = true;
        }

        return _hasSettled
            ? RawSample.Of(_settled ? 1 : 0, raw.TakenAt)
            : RawSample.Missing(Reason.NoAnswer, raw.TakenAt);
    }
}
