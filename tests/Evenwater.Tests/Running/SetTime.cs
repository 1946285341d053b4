namespace Evenwater.Tests.Running;

/// <summary>A computer's clocks, set by hand: the wall's, which may jump, in a time zone of its own, and the one that only goes on.</summary>
internal sealed class SetTime(DateTimeOffset wall, TimeZoneInfo zone) : TimeProvider
{
    private DateTimeOffset _wall = wall;
    private TimeSpan _on;

    public override TimeZoneInfo LocalTimeZone => zone;

    public override long TimestampFrequency => TimeSpan.TicksPerSecond;

    public override DateTimeOffset GetUtcNow() => _wall.ToUniversalTime();

    public override long GetTimestamp() => _on.Ticks;

    public void Advance(TimeSpan by) => (_wall, _on) = (_wall + by, _on + by);

    /// <summary>The wall's clock alone is set anew.</summary>
    public void Set(DateTimeOffset wall) => _wall = wall;
}
