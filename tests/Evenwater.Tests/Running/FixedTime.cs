namespace Evenwater.Tests.Running;

/// <summary>A clock that stands: the instant at which a program is started again.</summary>
internal sealed class FixedTime(DateTimeOffset now) : TimeProvider
{
    public override DateTimeOffset GetUtcNow() => now;
}
