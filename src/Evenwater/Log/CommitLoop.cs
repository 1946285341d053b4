using System.Diagnostics;

namespace Evenwater.Log;

/// <summary>
/// The one thread that commits, and what waits for it: entries, moved cursors, and those who want to know when.
/// It rests until a batch is due, commits what is urgent at once, and after a failure keeps all and tries again.
/// </summary>
internal sealed class CommitLoop : IDisposable
{
    /// <summary>The writer wakes at least this often, though nothing is due, so that it can be seen to live.</summary>
    private static readonly TimeSpan LongestRest = TimeSpan.FromSeconds(1);

    private readonly object _gate = new();
    private readonly Action<IReadOnlyList<Entry>, IReadOnlyDictionary<string, long>> _commit;
    private readonly Action<int> _afterwards;
    private readonly LogPace _pace;
    private readonly ILogger _logger;
    private readonly EntryQueue _queue;
    private readonly MovedCursors _cursors;
    private readonly CommitWaiters _waiters = new();
    private readonly Thread _thread;
    private TaskCompletionSource _grown = NewSignal();
    private long _committedId;
    private long _turns;
    private long _failedAt;
    private bool _commits = true;
    private bool _stopping;

    /// <param name="commit">Puts it all on the disk, or throws and leaves the disk as it was.</param>
    /// <param name="afterwards">Called after each commit with how many entries it was; what it does may wait for the next commit, and may fail.</param>
    /// <param name="lastId">The last entry that is on the disk already.</param>
    /// <param name="pace">How it commits.</param>
    /// <param name="logger">Told when commits begin to fail and when they work again.</param>
    public CommitLoop(Action<IReadOnlyList<Entry>, IReadOnlyDictionary<string, long>> commit, Action<int> afterwards, long lastId, LogPace pace, ILogger logger)
    {
        (_commit, _afterwards, _committedId, _pace, _logger) = (commit, afterwards, lastId, pace, logger);
        _queue = new EntryQueue(pace.MaxCycles, pace.MaxOthers, lastId);
        _cursors = new MovedCursors(pace.Cursors);
        _thread = new Thread(Work) { IsBackground = true, Name = "log writer" };
        _thread.Start();
    }

    /// <summary>False after a failure, and while a commit neither succeeds nor fails: a disk that hangs is no better than a full one.</summary>
    public bool Commits
    {
        get
        {
            lock (_gate)
            {
                return _commits && (_queue.Count == 0 || Stopwatch.GetElapsedTime(_queue.OldestStamp) < Batch + _pace.LongestCommit);
            }
        }
    }

    /// <summary>How often the writer has looked for work.</summary>
    public long Turns => Interlocked.Read(ref _turns);

    public long LastId => Interlocked.Read(ref _committedId);

    public long Dropped
    {
        get
        {
            lock (_gate)
            {
                return _queue.DroppedEver;
            }
        }
    }

    public TimeSpan OldestUncommitted
    {
        get
        {
            lock (_gate)
            {
                return _queue.Count == 0 ? TimeSpan.Zero : Stopwatch.GetElapsedTime(_queue.OldestStamp);
            }
        }
    }

    public long Append(Entry entry)
    {
        lock (_gate)
        {
            ObjectDisposedException.ThrowIf(_stopping, this);
            var id = _queue.Add(entry, Stopwatch.GetTimestamp());
            if (_queue.Urgent || _queue.HalfFull || _queue.Patient || _queue.Count == 1)
            {
                Monitor.PulseAll(_gate);
            }

            return id;
        }
    }

    public void MoveCursor(string follower, long id)
    {
        lock (_gate)
        {
            if (!_cursors.Any)
            {
                Monitor.PulseAll(_gate);
            }

            _cursors.Move(follower, id);
        }
    }

    public Task<long> CommitAsync(CancellationToken cancellation)
    {
        lock (_gate)
        {
            ObjectDisposedException.ThrowIf(_stopping, this);
            if (_queue.Count == 0 && !_cursors.Any)
            {
                return Task.FromResult(_committedId);
            }

            var committed = _waiters.Add(_queue.LastId);
            Monitor.PulseAll(_gate);
            return committed.WaitAsync(cancellation);
        }
    }

    public async Task WaitAfterAsync(long id, CancellationToken cancellation)
    {
        while (true)
        {
            var grown = Volatile.Read(ref _grown).Task;
            if (LastId > id)
            {
                return;
            }

            await grown.WaitAsync(cancellation);
        }
    }

    /// <summary>Commits what waits, once more, and ends.</summary>
    public void Dispose()
    {
        lock (_gate)
        {
            _stopping = true;
            Monitor.PulseAll(_gate);
        }

        _thread.Join();
    }

    /// <summary>How long what waits may be gathered. Its owner holds the gate.</summary>
    private TimeSpan Batch => _queue.Patient && _pace.InRun < _pace.Batch ? _pace.InRun : _pace.Batch;

    private static TaskCompletionSource NewSignal() => new(TaskCreationOptions.RunContinuationsAsynchronously);

    private void Work()
    {
        while (true)
        {
            Entry[] entries;
            Dictionary<string, long> cursors;
            bool last;
            lock (_gate)
            {
                Interlocked.Increment(ref _turns);
                while (UntilDue() is { } wait)
                {
                    Monitor.Wait(_gate, wait < LongestRest ? wait : LongestRest);
                    Interlocked.Increment(ref _turns);
                }

                last = _stopping;
                entries = _queue.Snapshot();
                cursors = CursorsAreDue ? _cursors.Snapshot() : [];
            }

            Exception? fault = null;
            try
            {
                _commit(entries, cursors);
            }
            catch (Exception e)
            {
                fault = e;
            }

            lock (_gate)
            {
                if (fault is null)
                {
                    Committed(entries, cursors);
                }
                else
                {
                    Failed(entries.Length, fault);
                }

                if (last && (fault is not null || _queue.Count == 0))
                {
                    return;
                }
            }

            if (fault is null && !last)
            {
                Afterwards(entries.Length);
            }
        }
    }

    private void Afterwards(int committed)
    {
        try
        {
            _afterwards(committed);
        }
        catch (Exception e)
        {
            _logger.LogWarning(e, "the log could not be packed; nothing is lost, and it is tried again");
        }
    }

    /// <summary>The last commit takes them all, and so does one that somebody waits for.</summary>
    private bool CursorsAreDue => _stopping || _waiters.Any || _cursors.Left <= TimeSpan.Zero;

    /// <summary>How long the thread may still rest; null when it has to commit now.</summary>
    private TimeSpan? UntilDue()
    {
        if (_stopping || _waiters.Any)
        {
            return null;
        }

        TimeSpan? left = null;
        if (_queue.Count > 0)
        {
            left = (_commits ? _queue.Urgent || _queue.HalfFull ? TimeSpan.Zero : Batch : _pace.Retry)
                - Stopwatch.GetElapsedTime(_commits ? _queue.OldestStamp : _failedAt);
        }
        else if (_cursors.Any)
        {
            left = _commits ? _cursors.Left : _pace.Retry - Stopwatch.GetElapsedTime(_failedAt);
        }

        return left is not { } rest ? LongestRest : rest > TimeSpan.Zero ? rest + TimeSpan.FromMilliseconds(1) : null;
    }

    private void Failed(int kept, Exception fault)
    {
        _failedAt = Stopwatch.GetTimestamp();
        if (_commits)
        {
            _logger.LogError(fault, "the log can not commit; nothing may open; {Count} entries wait", kept);
        }

        Volatile.Write(ref _commits, false);
        _waiters.Failed(fault);
    }

    private void Committed(Entry[] entries, Dictionary<string, long> cursors)
    {
        if (!_commits)
        {
            _logger.LogWarning("the log commits again; {Count} entries were kept and are stored now", entries.Length);
        }

        _queue.Committed(entries, Stopwatch.GetTimestamp());
        _cursors.Saved(cursors);
        if (entries.Length > 0)
        {
            Interlocked.Exchange(ref _committedId, entries[^1].Id);
        }

        Volatile.Write(ref _commits, true);
        _waiters.Committed(_committedId);
        Interlocked.Exchange(ref _grown, NewSignal()).TrySetResult();
    }
}
