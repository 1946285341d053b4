namespace Evenwater.Log;

/// <summary>Those who want to know when what they have appended is on the disk. Not thread-safe: its owner locks.</summary>
internal sealed class CommitWaiters
{
    private readonly List<(long UpTo, TaskCompletionSource<long> Done)> _waiting = [];

    /// <summary>Whether anybody waits.</summary>
    public bool Any => _waiting.Count > 0;

    /// <summary>One more, for all up to this number; is given the last committed number.</summary>
    public Task<long> Add(long upTo)
    {
        var done = new TaskCompletionSource<long>(TaskCreationOptions.RunContinuationsAsynchronously);
        _waiting.Add((upTo, done));
        return done.Task;
    }

    /// <summary>All up to this number is committed.</summary>
    public void Committed(long id)
    {
        foreach (var (_, done) in _waiting.Where(w => w.UpTo <= id))
        {
            done.TrySetResult(id);
        }

        _waiting.RemoveAll(w => w.UpTo <= id);
    }

    /// <summary>The commit failed: all are told.</summary>
    public void Failed(Exception fault)
    {
        foreach (var (_, done) in _waiting)
        {
            done.TrySetException(new IOException($"the log can not commit: {fault.Message}", fault));
        }

        _waiting.Clear();
    }
}
