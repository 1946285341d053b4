using System.Diagnostics;
using Evenwater.Core.Stations;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Log;

/// <summary>How the log commits.</summary>
internal sealed record LogPace
{
    /// <summary>How long cycles are gathered before they are committed together.</summary>
    public TimeSpan Batch { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>How long to wait after a commit that failed.</summary>
    public TimeSpan Retry { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>How long another process may hold the file before a commit counts as failed, whole seconds.</summary>
    public int BusySeconds { get; init; } = 2;

    /// <summary>Cycles that may wait: over an hour of them at one a second.</summary>
    public int MaxCycles { get; init; } = 4096;

    /// <summary>Other entries that may wait.</summary>
    public int MaxOthers { get; init; } = 1024;
}

/// <summary>
/// The log: one append-only sequence of entries in one SQLite file, written by one thread. Cycles are committed in batches,
/// every other entry at once together with all before it. Nothing that is appended waits for the disk.
/// </summary>
internal sealed class NightLog : IDisposable
{
    private readonly Lock _file = new();
    private readonly object _gate = new();
    private readonly string _directory;
    private readonly LogPace _pace;
    private readonly TimeProvider _clock;
    private readonly ILogger _logger;
    private readonly EntryQueue _queue;
    private readonly Dictionary<string, long> _cursors;
    private readonly Dictionary<string, long> _movedCursors = [];
    private readonly List<(long UpTo, TaskCompletionSource<long> Done)> _waiting = [];
    private readonly Thread _thread;
    private EntryWriter? _writer;
    private TaskCompletionSource _grown = NewSignal();
    private long _boots;
    private long _configurations;
    private long _committedId;
    private long _cursorsMovedAt;
    private long _failedAt;
    private bool _commits = true;
    private bool _stopping;

    private NightLog(string directory, TimeProvider clock, LogPace pace, ILogger logger)
    {
        (_directory, _clock, _pace, _logger) = (directory, clock, pace, logger);
        lock (_file)
        {
            Writer();
        }

        Reader = new LogReader(directory, pace.BusySeconds);
        (_boots, _configurations) = (Reader.Boots(), Reader.Configurations());
        _committedId = Reader.LastId();
        _cursors = Reader.Cursors();
        _queue = new EntryQueue(pace.MaxCycles, pace.MaxOthers, _committedId);
        _thread = new Thread(Write) { IsBackground = true, Name = "log writer" };
        _thread.Start();
    }

    /// <summary>What is committed, read on its own connection.</summary>
    public LogReader Reader { get; }

    /// <summary>False after a commit that failed, until one succeeds again.</summary>
    public bool Commits => Volatile.Read(ref _commits);

    /// <summary>The number of the last committed entry.</summary>
    public long LastId => Interlocked.Read(ref _committedId);

    /// <summary>How many entries have been turned away, because the queue was full, since the start.</summary>
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

    /// <summary>How long the oldest entry that is not yet on the disk has waited.</summary>
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

    /// <summary>Opens the log in a folder, or begins one.</summary>
    /// <param name="directory">The folder.</param>
    /// <param name="clock">Labels boots and configurations; moves nothing.</param>
    /// <param name="pace">How it commits.</param>
    /// <param name="logger">Told when commits begin to fail and when they work again.</param>
    /// <exception cref="LogUnusableException">The file is damaged, newer, not ours, or not reachable.</exception>
    public static NightLog Open(string directory, TimeProvider? clock = null, LogPace? pace = null, ILogger? logger = null)
    {
        try
        {
            return new NightLog(directory, clock ?? TimeProvider.System, pace ?? new LogPace(), logger ?? NullLogger.Instance);
        }
        catch (SqliteException e)
        {
            throw new LogUnusableException(LogFile.Explain(Path.Combine(directory, LogFile.Name), e), e);
        }
    }

    /// <summary>A new life of a monotonic clock: the program has started, or a simulated clock begins. On the disk on return.</summary>
    public long StartBoot(string version, bool simulated)
    {
        lock (_file)
        {
            return _boots = Writer().AddBoot(version, simulated, _clock.GetUtcNow());
        }
    }

    /// <summary>The number of the station as it is configured and calibrated now. On the disk on return.</summary>
    public long Configure(Station station)
    {
        lock (_file)
        {
            var id = Writer().AddConfiguration(station.Name, LogJson.Write(station), _clock.GetUtcNow());
            _configurations = Math.Max(_configurations, id);
            return id;
        }
    }

    /// <summary>Adds an entry to the sequence; never waits for the disk.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The boot or the configuration is not one of this log's.</exception>
    /// <returns>Its number, or 0 when the disk has failed for so long that there is no room for it.</returns>
    public long Append(Entry entry)
    {
        // An entry that the schema refuses would hold up all that come after it.
        ArgumentOutOfRangeException.ThrowIfLessThan(entry.BootId, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(entry.BootId, Volatile.Read(ref _boots));
        ArgumentOutOfRangeException.ThrowIfLessThan(entry.ConfigurationId, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(entry.ConfigurationId, Volatile.Read(ref _configurations));
        lock (_gate)
        {
            ObjectDisposedException.ThrowIf(_stopping, this);
            var id = _queue.Add(entry, Stopwatch.GetTimestamp());
            if (_queue.Urgent || _queue.HalfFull || _queue.Count == 1)
            {
                Monitor.PulseAll(_gate);
            }

            return id;
        }
    }

    /// <summary>Commits at once all that was appended before, and gives the last committed number.</summary>
    /// <exception cref="IOException">The commit failed; the entries stay queued and are tried again.</exception>
    public Task<long> CommitAsync(CancellationToken cancellation = default)
    {
        lock (_gate)
        {
            if (_queue.Count == 0 && _movedCursors.Count == 0)
            {
                return Task.FromResult(_committedId);
            }

            var done = new TaskCompletionSource<long>(TaskCreationOptions.RunContinuationsAsynchronously);
            _waiting.Add((_queue.LastId, done));
            Monitor.PulseAll(_gate);
            return done.Task.WaitAsync(cancellation);
        }
    }

    /// <summary><see cref="CommitAsync"/> for those who can wait: rehearsals and tests.</summary>
    public void Flush() => CommitAsync().GetAwaiter().GetResult();

    /// <summary>Waits until an entry after this one is committed.</summary>
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

    /// <summary>The last entry that this follower's peer has acknowledged; 0 for none.</summary>
    public long Cursor(string follower)
    {
        lock (_gate)
        {
            return _cursors.GetValueOrDefault(follower);
        }
    }

    /// <summary>
    /// Moves a follower's cursor. It is on the disk with the next commit, at the latest one batch later: after a crash a
    /// follower sends that much again, which its peers must bear anyway.
    /// </summary>
    public void MoveCursor(string follower, long id)
    {
        lock (_gate)
        {
            _cursors[follower] = id;
            if (_movedCursors.Count == 0)
            {
                _cursorsMovedAt = Stopwatch.GetTimestamp();
                Monitor.PulseAll(_gate);
            }

            _movedCursors[follower] = id;
        }
    }

    /// <summary>Commits what waits, once, and closes the file.</summary>
    public void Dispose()
    {
        lock (_gate)
        {
            if (_stopping)
            {
                return;
            }

            _stopping = true;
            Monitor.PulseAll(_gate);
        }

        _thread.Join();
        Reader.Dispose();
        lock (_file)
        {
            _writer?.Dispose();
            _writer = null;
        }
    }

    private static TaskCompletionSource NewSignal() => new(TaskCreationOptions.RunContinuationsAsynchronously);

    private EntryWriter Writer() => _writer ??= new EntryWriter(LogFile.OpenForWriting(_directory, _pace.BusySeconds));

    private void Write()
    {
        while (true)
        {
            Entry[] entries;
            Dictionary<string, long> cursors;
            bool last;
            lock (_gate)
            {
                while (UntilDue() is { } wait)
                {
                    Monitor.Wait(_gate, wait);
                }

                last = _stopping;
                entries = _queue.Snapshot();
                cursors = new(_movedCursors);
            }

            var fault = Commit(entries, cursors);
            lock (_gate)
            {
                Settle(entries, cursors, fault);
                if (last && (fault is not null || _queue.Count == 0))
                {
                    return;
                }
            }
        }
    }

    /// <summary>How long the writer may still rest; null when it has to commit now.</summary>
    private TimeSpan? UntilDue()
    {
        if (_stopping || _waiting.Count > 0)
        {
            return null;
        }

        if (_queue.Count == 0 && _movedCursors.Count == 0)
        {
            return Timeout.InfiniteTimeSpan;
        }

        var (since, rest) = (_commits, _queue.Urgent || _queue.HalfFull) switch
        {
            (false, _) => (_failedAt, _pace.Retry),
            (true, true) => (0, TimeSpan.Zero),
            (true, false) => (_queue.Count > 0 ? _queue.OldestStamp : _cursorsMovedAt, _pace.Batch),
        };
        var left = rest - Stopwatch.GetElapsedTime(since);
        return left > TimeSpan.Zero ? left + TimeSpan.FromMilliseconds(1) : null;
    }

    private Exception? Commit(Entry[] entries, Dictionary<string, long> cursors)
    {
        lock (_file)
        {
            try
            {
                Writer().Commit(entries, cursors);
                return null;
            }
            catch (Exception e)
            {
                // Whatever it was, the next attempt begins with a fresh connection.
                _writer?.Dispose();
                _writer = null;
                return e;
            }
        }
    }

    private void Settle(Entry[] entries, Dictionary<string, long> cursors, Exception? fault)
    {
        if (fault is not null)
        {
            _failedAt = Stopwatch.GetTimestamp();
            if (_commits)
            {
                _logger.LogError(fault, "the log can not commit; nothing may open, {Count} entries wait", entries.Length);
            }

            Volatile.Write(ref _commits, false);
            foreach (var (_, done) in _waiting)
            {
                done.TrySetException(new IOException($"the log can not commit: {fault.Message}", fault));
            }

            _waiting.Clear();
            return;
        }

        if (!_commits)
        {
            _logger.LogWarning("the log commits again; {Count} entries were kept and are stored now", entries.Length);
        }

        _queue.Committed(entries, Stopwatch.GetTimestamp());
        foreach (var (follower, id) in cursors)
        {
            if (_movedCursors.GetValueOrDefault(follower) == id)
            {
                _movedCursors.Remove(follower);
            }
        }

        if (entries.Length > 0)
        {
            Interlocked.Exchange(ref _committedId, entries[^1].Id);
        }

        Volatile.Write(ref _commits, true);
        foreach (var (_, done) in _waiting.Where(w => w.UpTo <= _committedId))
        {
            done.TrySetResult(_committedId);
        }

        _waiting.RemoveAll(w => w.UpTo <= _committedId);
        Interlocked.Exchange(ref _grown, NewSignal()).TrySetResult();
    }
}
