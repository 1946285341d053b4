using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>
/// Writes to the log's file, one at a time. After a failure it begins with a fresh connection; on a full disk it lets go of what is held free for alarms and tries once more.
/// </summary>
/// <param name="directory">The log's folder.</param>
/// <param name="pace">How it commits.</param>
internal sealed class LogPen(string directory, LogPace pace) : IDisposable
{
    private readonly Lock _file = new();
    private readonly Reserve _reserve = new(directory, pace.KeepReserve);
    private EntryWriter? _writer;

    /// <summary>Whether the disk was found full and has not got room again since.</summary>
    public bool IsTight => _reserve.Gone;

    /// <summary>Holds room free again, when there is any.</summary>
    public void KeepReserve() => _reserve.Keep();

    /// <summary>Writes, and gives what the writer gives.</summary>
    public long Write(Func<EntryWriter, long> write)
    {
        try
        {
            return WriteOnce(write);
        }
        catch (SqliteException e) when (e.SqliteErrorCode is SQLitePCL.raw.SQLITE_FULL or SQLitePCL.raw.SQLITE_IOERR)
        {
            _reserve.Release();
            return WriteOnce(write);
        }
    }

    public void Dispose()
    {
        lock (_file)
        {
            _writer?.Dispose();
            _writer = null;
        }
    }

    private long WriteOnce(Func<EntryWriter, long> write)
    {
        lock (_file)
        {
            // Before the rest, whose fresh connection would begin a new log where the old one was.
            _writer?.RefuseMoved();
            try
            {
                _writer ??= new EntryWriter(LogFile.OpenForWriting(directory, pace.BusySeconds));
                return write(_writer);
            }
            catch
            {
                // Whatever it was, the next attempt begins with a fresh connection.
                _writer?.Dispose();
                _writer = null;
                throw;
            }
        }
    }
}
