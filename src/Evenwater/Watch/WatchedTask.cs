namespace Evenwater.Watch;

/// <summary>
/// What is asked of one task: never silent for longer than it may be, and never busier than it can be. A task that spins has lost its
/// clock or its waiting, and what it does at that pace is not what it was written to do.
/// </summary>
/// <param name="name">As it is told to the keeper.</param>
/// <param name="turns">Its turns so far.</param>
/// <param name="longestSilence">The longest time between two turns. Seen at the supervisor's pace, so up to one look late.</param>
/// <param name="mostPerSecond">The most turns a second, over at least a second.</param>
internal sealed class WatchedTask(string name, Func<long> turns, TimeSpan longestSilence, double mostPerSecond)
{
    private static readonly TimeSpan Window = TimeSpan.FromSeconds(1);

    private long _seen;
    private TimeSpan _seenAt;
    private bool _known;
    private long _windowCount;
    private TimeSpan _windowStart;
    private double _perSecond;

    /// <summary>What is wrong with it at <paramref name="now"/>, or null. Called by the supervisor alone, with a time that never goes back.</summary>
    public string? Trouble(TimeSpan now)
    {
        var count = turns();
        if (!_known)
        {
            (_known, _seenAt, _windowCount, _windowStart) = (true, now, count, now);
        }

        if (count != _seen)
        {
            (_seen, _seenAt) = (count, now);
        }

        if (now - _windowStart >= Window)
        {
            _perSecond = (count - _windowCount) / (now - _windowStart).TotalSeconds;
            (_windowCount, _windowStart) = (count, now);
        }

        return count == 0 ? $"'{name}' has not completed a turn yet"
            : now - _seenAt > longestSilence ? $"'{name}' has stood still for {(now - _seenAt).TotalSeconds:F1} s, at most {longestSilence.TotalSeconds:0.#} s are allowed"
            : _perSecond > mostPerSecond ? $"'{name}' spins: {_perSecond:F0} turns a second, at most {mostPerSecond:0} are possible"
            : null;
    }
}
