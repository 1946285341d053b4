namespace Evenwater.Followers;

/// <summary>
/// Holds back a flood of asks: a few at once and then one now and again. Who goes on is told once and no longer heard until it has been quiet, so
/// that neither the log nor the answers grow with it. Closing does not come past here.
/// </summary>
/// <param name="time">Its timestamps alone are used.</param>
internal sealed class AskLimit(TimeProvider time)
{
    /// <summary>Asks at once. Our own choice: an opening takes two, and a person opens a few times a night.</summary>
    public const int Burst = 10;

    /// <summary>One more is allowed after so long, s.</summary>
    public const double RefillSeconds = 10;

    /// <summary>A flood is over when nothing has come for so long, s.</summary>
    public const double QuietSeconds = 10;

    private double _left = Burst;
    private long _lastAt = time.GetTimestamp();

    /// <summary>How many were dropped in this flood.</summary>
    public long Dropped { get; private set; }

    /// <summary>Takes one ask: whether it is heard.</summary>
    /// <param name="over">How many the flood that has just ended had dropped; 0 without one.</param>
    public bool Hears(out long over)
    {
        over = 0;
        var quiet = time.GetElapsedTime(_lastAt).TotalSeconds;
        _lastAt = time.GetTimestamp();
        if (Dropped > 0 && quiet < QuietSeconds)
        {
            Dropped++;
            return false;
        }

        (over, Dropped) = (Dropped, 0);
        _left = Math.Min(_left + (quiet / RefillSeconds), Burst);
        if (_left < 1)
        {
            Dropped = 1;
            return false;
        }

        _left--;
        return true;
    }
}
