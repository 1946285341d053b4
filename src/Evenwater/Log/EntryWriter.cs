using Evenwater.Log.Blocks;
using Microsoft.Data.Sqlite;

namespace Evenwater.Log;

/// <summary>Writes entries and cursors over one connection, a transaction at a time.</summary>
internal sealed class EntryWriter : IDisposable
{
    private readonly SqliteConnection _connection;
    private readonly SqliteCommand _entry;
    private readonly SqliteCommand _batch;
    private readonly SqliteCommand _cursor;
    private readonly Packer _packer;
    private readonly RoomMaker _room;

    public EntryWriter(SqliteConnection connection)
    {
        _connection = connection;
        (_packer, _room) = (new Packer(connection), new RoomMaker(connection));
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
        _batch = BlockSql.Inserting(connection, BlockSql.Batch);
        _cursor = Prepare(
            "INSERT INTO cursor (follower, entry_id) VALUES ($follower, $id) ON CONFLICT (follower) DO UPDATE SET entry_id = excluded.entry_id",
            "$follower",
            "$id");
    }

    /// <inheritdoc cref="MovedFile.Refuse"/>
    public void RefuseMoved() => MovedFile.Refuse(_connection);

    /// <summary>A new boot, or simulated clock. What an earlier one left without a date will get none any more, and is dated as well as can be.</summary>
    public long AddBoot(string version, bool simulated, DateTimeOffset created)
    {
        using (var dating = _connection.BeginTransaction())
        {
            Dating.LeftOver(_connection);
            dating.Commit();
        }

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

    /// <summary>Packs, a block at a time, what can be packed, and keeps the file within its budget.</summary>
    /// <returns>False when nothing is left to do.</returns>
    public bool Tidy(long mostBytes, bool tight = false) => (!tight && _packer.PackNext()) || _room.MakeRoom(mostBytes, tight) is not null;

    /// <inheritdoc cref="RoomMaker.IsWanting"/>
    public bool IsWanting => _room.IsWanting;

    /// <summary>All of it or nothing; on return it is on the disk.</summary>
    /// <returns>How many readings it was.</returns>
    public long Commit(IReadOnlyList<Entry> entries, IReadOnlyDictionary<string, long> cursors)
    {
        using var transaction = _connection.BeginTransaction();
        _entry.Transaction = _batch.Transaction = _cursor.Transaction = transaction;
        var gathered = new List<List<Entry>>();
        foreach (var entry in entries)
        {
            if (entry.Kind == EntryKind.Cycle)
            {
                Gather(gathered, entry);
            }
        }

        var readings = 0L;
        foreach (var cycles in gathered)
        {
            var row = BlockCodec.Encode(cycles, BlockCodec.Quick);
            BlockSql.Insert(_batch, row);
            readings += row.Readings;
        }

        // After the cycles: one of these may date them.
        foreach (var entry in entries.Where(e => e.Kind != EntryKind.Cycle))
        {
            Write(entry);
        }

        foreach (var (follower, id) in cursors)
        {
            Set(_cursor, follower, id);
            _cursor.ExecuteNonQuery();
        }

        transaction.Commit();
        return readings;
    }

    public void Dispose()
    {
        _entry.Dispose();
        _batch.Dispose();
        _cursor.Dispose();
        _connection.Dispose();
    }

    /// <summary>To the last group if it is alike, of the same station that is; stations take turns.</summary>
    private static void Gather(List<List<Entry>> gathered, Entry cycle)
    {
        var group = gathered.FindLast(g => g[0].ConfigurationId == cycle.ConfigurationId);
        if (group is null || group.Count == BlockRow.MostCycles || !BlockRow.Alike(group[0], cycle))
        {
            gathered.Add([cycle]);
        }
        else
        {
            group.Add(cycle);
        }
    }

    private void Write(Entry entry)
    {
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
        if (entry is { FillsIn: true, Wall: { } wall })
        {
            Dating.FillIn(_connection, (entry.BootId, entry.Station), entry.At.Nanoseconds, wall.ToUnixTimeMilliseconds(), entry.ClockQuality);
        }
        else if (entry.FillsIn)
        {
            Dating.LeftOver(_connection, entry.BootId);
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
