using System.Diagnostics;
using Evenwater.Core;
using Evenwater.Core.Stations;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging.Abstractions;

namespace Evenwater.Log;

/// <summary>
/// The log: one append-only sequence of entries in one SQLite file, written by one thread. Cycles are committed in batches,
/// every other entry at once together with all before it. Nothing that is appended waits for the disk.
/// </summary>
internal sealed class NightLog : IDisposable
{
    /// <summary>
    /// How long the writer may be without a turn. A worn card may hold up one commit for as long as <see cref="LogPace.LongestCommit"/>, by when the log
    /// counts as lost and the cycle has closed; twice that is no card any more.
    /// </summary>
    public static readonly TimeSpan LongestSilence = 2 * new LogPace().LongestCommit;

    /// <summary>More turns of the writer than this and it spins: it rests between batches, and no card commits a hundred times a second. From memory.</summary>
    public const double MostTurnsPerSecond = 1000;

    private readonly LogPen _pen;
    private readonly string _directory;
    private readonly LogPace _pace;
    private readonly TimeProvider _clock;
    private readonly Dictionary<string, long> _cursors;
    private readonly CommitLoop _loop;
    private long _boots;
    private long _configurations;
    private int _untidied = int.MaxValue / 2;
    private long _written;
    private long _roomAt;
    private byte _room;
    private bool _lacksRoom;
    private bool _disposed;

    private NightLog(string directory, TimeProvider clock, LogPace pace, ILogger logger)
    {
        (_directory, _clock, _pace) = (directory, clock, pace);
        _pen = new LogPen(directory, pace);
        _pen.Write(_ => 0);
        try
        {
            Reader = new LogReader(directory, pace.BusySeconds);
        }
        catch
        {
            _pen.Dispose();
            throw;
        }

        (_boots, _configurations) = (Reader.Boots(), Reader.Configurations());
        _cursors = Reader.Cursors();
        _loop = new CommitLoop(Commit, Tidy, Reader.LastId(), pace, logger);
    }

    /// <summary>What is committed, read on its own connection.</summary>
    public LogReader Reader { get; }

    /// <summary>False after a commit that failed, or that hangs, until one succeeds again.</summary>
    public bool Commits => _loop.Commits;

    /// <summary>How many turns the writer has taken, at rest or at work; it takes at least one a second unless a commit holds it up.</summary>
    public long Turns => _loop.Turns;

    /// <summary>The number of the last committed entry.</summary>
    public long LastId => _loop.LastId;

    /// <summary>How many entries have been turned away, because the queue was full, since the start.</summary>
    public long Dropped => _loop.Dropped;

    /// <summary>How many readings have been committed since the start.</summary>
    public long ReadingsWritten => Interlocked.Read(ref _written);

    /// <summary>How much is free on the disk, as of the last commit, or shortly before it.</summary>
    public DiskRoom Room => (DiskRoom)Volatile.Read(ref _room);

    /// <summary>Whether the log holds more than its budget though no readings are left that might go.</summary>
    public bool LacksRoom => Volatile.Read(ref _lacksRoom);

    /// <summary>How long the oldest entry that is not yet on the disk has waited.</summary>
    public TimeSpan OldestUncommitted => _loop.OldestUncommitted;

    /// <summary>Opens the log in a folder, or begins one.</summary>
    /// <param name="directory">The folder.</param>
    /// <param name="clock">Labels boots and configurations; moves nothing.</param>
    /// <param name="pace">How it commits.</param>
    /// <param name="logger">Told when commits begin to fail and when they work again.</param>
    /// <param name="begunAnew">Why it is begun anew, when it is.</param>
    /// <exception cref="LogUnusableException">The file is damaged, newer, not ours, or not reachable.</exception>
    public static NightLog Open(string directory, TimeProvider? clock = null, LogPace? pace = null, ILogger? logger = null, string? begunAnew = null)
    {
        try
        {
            return Opened();
        }
        catch (LogUnusableException e) when (e.InnerException is SqliteException { SqliteErrorCode: SQLitePCL.raw.SQLITE_FULL or SQLitePCL.raw.SQLITE_IOERR } && File.Exists(Path.Combine(directory, Reserve.Name)))
        {
            // A disk that is full keeps it from being opened at all; what is held free for alarms is for this as well.
            new Reserve(directory, kept: true).Release();
            return Opened();
        }

        NightLog Opened()
        {
            try
            {
                return new NightLog(directory, clock ?? TimeProvider.System, pace ?? new LogPace(), logger ?? NullLogger.Instance) { BegunAnew = begunAnew };
            }
            catch (SqliteException e)
            {
                throw new LogUnusableException(LogFile.Explain(Path.Combine(directory, LogFile.Name), e), e);
            }
        }
    }

    /// <summary>A new life of a monotonic clock: the program has started, or a simulated clock begins. On the disk on return.</summary>
    public long StartBoot(string version, bool simulated)
    {
        return Needed("its boots", () => _pen.Write(writer => Known(ref _boots, writer.AddBoot(version, simulated, _clock.GetUtcNow()))));
    }

    /// <summary>The number of the station as it is configured and calibrated now. On the disk on return.</summary>
    public long Configure(Station station)
    {
        return Needed("its configurations", () => _pen.Write(writer => Known(ref _configurations, writer.AddConfiguration(station.Name, LogJson.Write(station), _clock.GetUtcNow()))));
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
        return _loop.Append(entry);
    }

    /// <summary>Commits at once all that was appended before, and gives the last committed number.</summary>
    /// <exception cref="IOException">The commit failed; the entries stay queued and are tried again.</exception>
    public Task<long> CommitAsync(CancellationToken cancellation = default) => _loop.CommitAsync(cancellation);

    /// <summary><see cref="CommitAsync"/> for those who can wait: rehearsals and tests.</summary>
    public void Flush() => CommitAsync().GetAwaiter().GetResult();

    /// <summary>Waits until an entry after this one is committed.</summary>
    public Task WaitAfterAsync(long id, CancellationToken cancellation) => _loop.WaitAfterAsync(id, cancellation);

    /// <summary>The last entry that this follower's peer has acknowledged; 0 for none.</summary>
    public long Cursor(string follower)
    {
        lock (_cursors)
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
        lock (_cursors)
        {
            _cursors[follower] = id;
            _loop.MoveCursor(follower, id);
        }
    }

    /// <summary>Why this log was begun though there had been one (see <see cref="DamagedLog"/>); null when it goes on from the last.</summary>
    public string? BegunAnew { get; init; }

    /// <summary>The folder that it stands in.</summary>
    public string Folder => _directory;

    /// <summary>Gives what a start can not do without, and says in words when the log does not.</summary>
    /// <param name="what">What is read or written, for the sentence.</param>
    /// <param name="read">Does it.</param>
    /// <exception cref="LogUnusableException">It can not be done, whatever the reason.</exception>
    public T Needed<T>(string what, Func<T> read)
    {
        var file = Path.Combine(_directory, LogFile.Name);
        try
        {
            return read();
        }
        catch (SqliteException e)
        {
            throw new LogUnusableException(LogFile.Explain(file, e), e);
        }
        catch (Exception e) when (e is not (LogUnusableException or OperationCanceledException))
        {
            throw new LogUnusableException(
                $"the log {file} is damaged: {what} can not be read ({e.Message}); move it and its -wal file away to begin a new log, and keep them: most of it can usually be recovered", e);
        }
    }

    /// <summary>Commits what waits, once, and closes the file.</summary>
    public void Dispose()
    {
        if (Interlocked.Exchange(ref _disposed, true))
        {
            return;
        }

        _loop.Dispose();
        Reader.Dispose();
        _pen.Dispose();
    }

    /// <summary>One more number. Under the pen's lock: of two stations that are configured at once, the lower must not be taken for the highest.</summary>
    private static long Known(ref long highest, long id)
    {
        Volatile.Write(ref highest, Math.Max(highest, id));
        return id;
    }

    private void Commit(IReadOnlyList<Entry> entries, IReadOnlyDictionary<string, long> cursors) =>
        Interlocked.Add(ref _written, _pen.Write(writer => writer.Commit(entries, cursors)));

    /// <summary>On the writer's thread, a block a commit, so that nothing urgent waits long. Without room on the disk the oldest raw readings make some.</summary>
    private void Tidy(int committed)
    {
        LookForRoom();
        _untidied += committed;
        if (_untidied < _pace.TidyEvery && !_pen.IsTight)
        {
            return;
        }

        _pen.KeepReserve();
        if (_pen.Write(Tidied) == 0)
        {
            _untidied = 0;
        }

        long Tidied(EntryWriter writer)
        {
            var more = writer.Tidy(_pace.BudgetBytes, _pen.IsTight);
            Volatile.Write(ref _lacksRoom, writer.IsWanting);
            return more ? 1 : 0;
        }
    }

    private void LookForRoom()
    {
        if (_roomAt != 0 && Stopwatch.GetElapsedTime(_roomAt) < _pace.LookForRoom)
        {
            return;
        }

        _roomAt = Stopwatch.GetTimestamp();
        Volatile.Write(ref _room, (byte)DiskRooms.Of(new DriveInfo(_directory).AvailableFreeSpace, Room));
    }
}
