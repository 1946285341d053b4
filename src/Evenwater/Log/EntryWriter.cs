using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>Writes entries and cursors over one connection, a transaction at a time.</summary>
internal sealed class EntryWriter : IDisposable
{
    private readonly SqliteConnection _connection;
    private readonly SqliteCommand _entry;
    private readonly SqliteCommand _reading;
    private readonly SqliteCommand _cursor;

    public EntryWriter(SqliteConnection connection)
    {
        _connection = connection;
        _entry = Prepare(
            "INSERT INTO entry (id, boot_id, configuration_id, run_id, mono_ns, wall_ms, clock_quality, kind, body) "
            + "VALUES ($id, $boot, $configuration, $run, $mono, $wall, $quality, $kind, $body)",
            "$id",
            "$boot",
            "$configuration",
            "$run",
            "$mono",
            "$wall",
            "$quality",
            "$kind",
            "$body");
        _reading = Prepare(
            "INSERT INTO reading (entry_id, channel, code, reason, age_ns) VALUES ($id, $channel, $code, $reason, $age)",
            "$id",
            "$channel",
            "$code",
            "$reason",
            "$age");
        _cursor = Prepare(
            "INSERT INTO cursor (follower, entry_id) VALUES ($follower, $id) ON CONFLICT (follower) DO UPDATE SET entry_id = excluded.entry_id",
            "$follower",
            "$id");
    }

    /// <summary>A new boot, or simulated clock.</summary>
    public long AddBoot(string version, bool simulated, DateTimeOffset created)
    {
        using var command = Prepare(
            "INSERT INTO boot (token, version, simulated, created_ms) VALUES ($token, $version, $simulated, $created) RETURNING id",
            "$token",
            "$version",
            "$simulated",
            "$created");
        Set(command, Guid.NewGuid().ToString(), version, simulated, created.ToUnixTimeMilliseconds());
        return (long)command.ExecuteScalar()!;
    }

    /// <summary>The configuration's number; a new one only when it has not been seen before.</summary>
    public long AddConfiguration(string station, string json, DateTimeOffset created)
    {
        // The update changes nothing: it makes RETURNING give the row that is already there.
        using var command = Prepare(
            "INSERT INTO configuration (station, json, created_ms) VALUES ($station, $json, $created) "
            + "ON CONFLICT (station, json) DO UPDATE SET json = excluded.json RETURNING id",
            "$station",
            "$json",
            "$created");
        Set(command, station, json, created.ToUnixTimeMilliseconds());
        return (long)command.ExecuteScalar()!;
    }

    /// <summary>All of it or nothing; on return it is on the disk.</summary>
    public void Commit(IReadOnlyList<Entry> entries, IReadOnlyDictionary<string, long> cursors)
    {
        using var transaction = _connection.BeginTransaction();
        foreach (var entry in entries)
        {
            Write(entry, transaction);
        }

        _cursor.Transaction = transaction;
        foreach (var (follower, id) in cursors)
        {
            Set(_cursor, follower, id);
            _cursor.ExecuteNonQuery();
        }

        transaction.Commit();
    }

    public void Dispose()
    {
        _entry.Dispose();
        _reading.Dispose();
        _cursor.Dispose();
        _connection.Dispose();
    }

    private void Write(Entry entry, SqliteTransaction transaction)
    {
        _entry.Transaction = transaction;
        Set(
            _entry,
            entry.Id,
            entry.BootId,
            entry.ConfigurationId,
            entry.RunId,
            entry.At.Nanoseconds,
            entry.Wall?.ToUnixTimeMilliseconds(),
            (int)entry.ClockQuality,
            (int)entry.Kind,
            entry.Body);
        _entry.ExecuteNonQuery();
        if (entry.Samples is not { } samples)
        {
            return;
        }

        _reading.Transaction = transaction;
        for (var channel = 0; channel < Core.Channels.Count; channel++)
        {
            var sample = samples[channel];
            if (sample.Reason == Core.Reason.NotFitted)
            {
                continue;
            }

            Set(_reading, entry.Id, channel, sample.Code, (int)sample.Reason, entry.At.Nanoseconds - sample.TakenAt.Nanoseconds);
            _reading.ExecuteNonQuery();
        }
    }

    private SqliteCommand Prepare(string sql, params string[] parameters)
    {
        var command = _connection.CreateCommand();
        command.CommandText = sql;
        foreach (var name in parameters)
        {
            command.Parameters.Add(new SqliteParameter { ParameterName = name });
        }

        return command;
    }

    private static void Set(SqliteCommand command, params ReadOnlySpan<object?> values)
    {
        for (var i = 0; i < values.Length; i++)
        {
            command.Parameters[i].Value = values[i] ?? DBNull.Value;
        }
    }
}
