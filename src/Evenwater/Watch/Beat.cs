namespace Evenwater.Watch;

/// <summary>One task's count of turns: the task counts, the supervisor looks. Costs the task one instruction and no lock.</summary>
internal sealed class Beat
{
    private long _count;

    /// <summary>How many turns so far.</summary>
    public long Count => Interlocked.Read(ref _count);

    /// <summary>The task has completed a turn.</summary>
    public void Turn() => Interlocked.Increment(ref _count);
}
