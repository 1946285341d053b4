namespace Evenwater.Core;

/// <summary>
/// An instant of a clock that never steps: nanoseconds since an arbitrary zero of one boot (or of one rehearsal).
/// Decisions use this alone; wall time only labels.
/// </summary>
public readonly record struct MonotonicTime(long Nanoseconds) : IComparable<MonotonicTime>
{
    private const double NanosecondsPerSecond = 1e9;

    /// <summary>The instant <paramref name="seconds"/> after the clock's zero.</summary>
    public static MonotonicTime FromSeconds(double seconds) => new((long)Math.Round(seconds * NanosecondsPerSecond));

    /// <summary>Seconds since the clock's zero.</summary>
    public double Seconds => Nanoseconds / NanosecondsPerSecond;

    /// <summary>Seconds from <paramref name="earlier"/> to this instant; negative when it lies ahead.</summary>
    public double SecondsSince(MonotonicTime earlier) => (Nanoseconds - earlier.Nanoseconds) / NanosecondsPerSecond;

    /// <summary>The instant <paramref name="seconds"/> later.</summary>
    public MonotonicTime Plus(double seconds) => new(Nanoseconds + (long)Math.Round(seconds * NanosecondsPerSecond));

    /// <inheritdoc/>
    public int CompareTo(MonotonicTime other) => Nanoseconds.CompareTo(other.Nanoseconds);

    /// <summary>Earlier than.</summary>
    public static bool operator <(MonotonicTime left, MonotonicTime right) => left.Nanoseconds < right.Nanoseconds;

    /// <summary>Later than.</summary>
    public static bool operator >(MonotonicTime left, MonotonicTime right) => left.Nanoseconds > right.Nanoseconds;

    /// <summary>Not later than.</summary>
    public static bool operator <=(MonotonicTime left, MonotonicTime right) => left.Nanoseconds <= right.Nanoseconds;

    /// <summary>Not earlier than.</summary>
    public static bool operator >=(MonotonicTime left, MonotonicTime right) => left.Nanoseconds >= right.Nanoseconds;
}
