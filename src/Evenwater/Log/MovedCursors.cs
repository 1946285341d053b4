using System.Diagnostics;

namespace Evenwater.Log;

/// <summary>
/// Cursors that have moved and are not on the disk yet. They ride with entries that are committed anyway, but seldom: each is one more page for the card.
/// Not thread-safe: its owner locks.
/// </summary>
/// <param name="every">How often they are saved.</param>
internal sealed class MovedCursors(TimeSpan every)
{
    private readonly Dictionary<string, long> _moved = [];
    private long _savedAt = Stopwatch.GetTimestamp();

    /// <summary>Whether any has moved.</summary>
    public bool Any => _moved.Count > 0;

    /// <summary>How long they may still wait; not above zero when they are due.</summary>
    public TimeSpan Left => every - Stopwatch.GetElapsedTime(_savedAt);

    /// <summary>All of them.</summary>
    public Dictionary<string, long> Snapshot() => new(_moved);

    public void Move(string follower, long id) => _moved[follower] = id;

    /// <summary>These are on the disk; one that has moved on meanwhile is not.</summary>
    public void Saved(Dictionary<string, long> cursors)
    {
        if (cursors.Count > 0)
        {
            _savedAt = Stopwatch.GetTimestamp();
        }

        foreach (var (follower, id) in cursors)
        {
            if (_moved.GetValueOrDefault(follower) == id)
            {
                _moved.Remove(follower);
            }
        }
    }
}
