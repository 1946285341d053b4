using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>
/// A new log with another's identity, boots, configurations and entries under the numbers they have there. Cursors are not taken over: what a peer has
/// been told is between it and the log it followed.
/// </summary>
internal sealed class LogCopy : IDisposable
{
    private readonly SqliteConnection _connection;
    private readonly EntryWriter _writer;

    /// <param name="directory">A folder without a log; made if missing.</param>
    /// <exception cref="LogUnusableException">It can not be written there.</exception>
    public LogCopy(string directory)
    {
        _connection = LogFile.OpenForWriting(directory, busySeconds: 2);
        _writer = new EntryWriter(_connection);
    }

    public void Add(string identity, long droppedTo) =>
        _connection.Run("UPDATE log SET identity = $identity; UPDATE space SET dropped_to = $dropped", ("$identity", identity), ("$dropped", droppedTo));

    public void Add(BootRow boot) => _connection.Run(
        "INSERT INTO boot (id, token, version, simulated, created_ms) VALUES ($id, $token, $version, $simulated, $created)",
        ("$id", boot.Id), ("$token", boot.Token), ("$version", boot.Version), ("$simulated", boot.Simulated ? 1 : 0), ("$created", boot.CreatedMs));

    public void Add(ConfigurationRow configuration) => _connection.Run(
        "INSERT INTO configuration (id, station, json, created_ms) VALUES ($id, $station, $json, $created)",
        ("$id", configuration.Id), ("$station", configuration.Station), ("$json", configuration.Json), ("$created", configuration.CreatedMs));

    /// <summary>Entries with their numbers, in order.</summary>
    public void Add(IReadOnlyList<Entry> entries)
    {
        _writer.Commit(entries, new Dictionary<string, long>());
        while (_writer.Tidy(long.MaxValue))
        {
            // One block at a time; the file stays as small as a daemon keeps it.
        }
    }

    public void Dispose()
    {
        _writer.Dispose();
        _connection.Dispose();
    }
}
