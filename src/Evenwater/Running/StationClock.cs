using System.Diagnostics;
using Evenwater.Core;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>
/// The one clock of a station. Control time is monotonic and goes on from where the log left off; wall time only labels.
/// A simulated station carries its own clock, which may run faster than life.
/// </summary>
internal sealed class StationClock
{
    private static readonly DateTimeOffset EarliestPlausible = new(2024, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>How long a look at the time synchroniser's file is good for: the cycle asks for every entry, and must not go to files each time.</summary>
    private static readonly TimeSpan LookEvery = TimeSpan.FromSeconds(10);

    private const long Millisecond = 1_000_000;

    /// <summary>There once the time was set since this computer came up (systemd-timesyncd.service(8)).</summary>
    private const string SynchronisedFile = "/run/systemd/timesync/synchronized";

    private readonly long _started;
    private readonly MonotonicTime _zero;
    private readonly DateTimeOffset? _simulatedZero;
    private readonly TimeProvider _time;
    private long _lookedAt;
    private bool _synchronised;

    private StationClock(MonotonicTime zero, double speed, DateTimeOffset? simulatedZero, TimeProvider time) =>
        (_zero, Speed, _simulatedZero, _time, _started) = (zero, speed, simulatedZero, time, time.GetTimestamp());

    /// <summary>Station seconds per second.</summary>
    public double Speed { get; }

    /// <summary>Whether the clock is a simulated one.</summary>
    public bool Simulated => _simulatedZero is not null;

    /// <summary>Now, in whole milliseconds: finer digits would be noise that the log had to keep, or a replay would not be the same.</summary>
    public MonotonicTime Now => new(_zero.Plus(_time.GetElapsedTime(_started).TotalSeconds * Speed).Nanoseconds / Millisecond * Millisecond);

    /// <summary>How far its wall times may be believed.</summary>
    public ClockQuality Quality => Simulated ? ClockQuality.Simulated
        : _time.GetUtcNow() < EarliestPlausible ? ClockQuality.Unsynced
        : Synchronised ? ClockQuality.Synced : ClockQuality.Restored;

    private bool Synchronised
    {
        get
        {
            if (_lookedAt == 0 || Stopwatch.GetElapsedTime(_lookedAt) > LookEvery)
            {
                _synchronised = File.Exists(SynchronisedFile);
                _lookedAt = Stopwatch.GetTimestamp();
            }

            return _synchronised;
        }
    }

    /// <summary>How long this computer has been up, s; null when its clock is synchronised.</summary>
    public static double? UpUnsynchronised => File.Exists(SynchronisedFile) ? null : Environment.TickCount64 / 1000.0;

    /// <summary>A real station's clock, going on <paramref name="after"/> the log's last instant.</summary>
    public static StationClock Real(MonotonicTime after, TimeProvider time) => new(after, 1, null, time);

    /// <summary>A simulated station's clock, its wall time set to <paramref name="wall"/> at instant <paramref name="zero"/>.</summary>
    public static StationClock Faster(double speed, DateTimeOffset wall, MonotonicTime zero) =>
        new(zero, speed, wall.AddSeconds(-zero.Seconds), TimeProvider.System);

    /// <summary>By what its wall times are told: a time beyond a change of the clocks has another offset than now. Null for a simulated clock, which knows no such change.</summary>
    public TimeZoneInfo? Zone => Simulated ? null : _time.LocalTimeZone;

    /// <summary>A wall time that the log kept, as it was told here.</summary>
    public DateTimeOffset Local(DateTimeOffset wall) =>
        _simulatedZero is { } zero ? wall.ToOffset(zero.Offset) : TimeZoneInfo.ConvertTime(wall, _time.LocalTimeZone);

    /// <summary>The time to show of an instant: while the clock has never been set what it says all the same, since what lies between two such times is right.</summary>
    public DateTimeOffset Shown(MonotonicTime at) => WallAt(at) ?? Local(_time.GetLocalNow().AddSeconds(at.SecondsSince(Now)));

    /// <summary>The local wall time of an instant, or null while this computer's clock has plainly never been set.</summary>
    public DateTimeOffset? WallAt(MonotonicTime at)
    {
        if (_simulatedZero is { } zero)
        {
            return zero.AddSeconds(at.Seconds);
        }

        var now = _time.GetLocalNow();
        return now < EarliestPlausible ? null : Local(now.AddSeconds(at.SecondsSince(Now)));
    }
}
