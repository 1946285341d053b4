namespace Evenwater.Log;

/// <content>What the log holds of one station besides its readings: runs, alarms, events, commands and the book.</content>
internal sealed partial class LogReader
{
    /// <summary>Every station that the log knows of, whether it is still configured or not.</summary>
    public IReadOnlyList<string> Stations()
    {
        lock (_gate)
        {
            return [.. _connection.Each("SELECT DISTINCT station FROM configuration ORDER BY station", row => row.GetString(0))];
        }
    }

    /// <summary>The numbers of the station's runs, in order.</summary>
    public IReadOnlyList<long> Runs(string station)
    {
        lock (_gate)
        {
            return [.. _connection.Each(
                "SELECT DISTINCT e.run_id FROM entry e JOIN configuration c ON c.id = e.configuration_id WHERE c.station = $station AND e.kind = 3 AND e.run_id IS NOT NULL ORDER BY e.run_id",
                row => row.GetInt64(0), ("$station", station))];
        }
    }

    /// <summary>The highest number that any run has; 0 when there has been none.</summary>
    public long HighestRun() => Number("SELECT max(run_id) FROM entry WHERE run_id IS NOT NULL") ?? 0;

    /// <summary>The station's last entry of one kind (not <see cref="EntryKind.Cycle"/>), or null.</summary>
    public Entry? Last(string station, EntryKind kind) =>
        Select("WHERE c.station = $station AND e.kind = $kind ORDER BY e.id DESC LIMIT 1", ("$station", station), ("$kind", (int)kind))
            .SingleOrDefault();

    /// <summary>The last entry of each of the station's alarms, wherever it stands. What is no longer what was written is passed over: see <see cref="DamagedAlarms"/>.</summary>
    public IReadOnlyList<Entry> Alarms(string station) => Select(
        "WHERE e.id IN (SELECT max(a.id) FROM entry a JOIN configuration d ON d.id = a.configuration_id "
        + $"WHERE a.kind = 6 AND d.station = $station AND json_valid(a.body) GROUP BY {Key("a", "name")}) ORDER BY e.id",
        ("$station", station));

    /// <summary>Entries about the station's alarms that are no longer what was written. A worn card does that, and SQLite sees nothing wrong with the file.</summary>
    public IReadOnlyList<Entry> DamagedAlarms(string station) => Select("WHERE e.kind = 6 AND c.station = $station AND NOT json_valid(e.body) ORDER BY e.id", ("$station", station));

    /// <summary>Every entry about the station's alarms with a wall time from then on, in order.</summary>
    public IReadOnlyList<Entry> AlarmsSince(string station, DateTimeOffset wall) => Select(
        "WHERE e.kind = 6 AND c.station = $station AND e.wall_ms >= $wall ORDER BY e.id",
        ("$station", station), ("$wall", wall.ToUnixTimeMilliseconds()));

    /// <summary>Every note of the station's book, in the order they were written, whatever their age.</summary>
    public IReadOnlyList<Entry> Notes(string station) => Select("WHERE e.kind = 10 AND c.station = $station ORDER BY e.id", ("$station", station));

    /// <summary>Whether an event of this name was ever kept about the station.</summary>
    public bool HasEvent(string station, string name) => Number(
        "SELECT 1 FROM entry e JOIN configuration c ON c.id = e.configuration_id "
        + $"WHERE e.kind = 9 AND c.station = $station AND {Key("e", "name")} = $name LIMIT 1",
        ("$station", station), ("$name", name)) is not null;

    /// <summary>The station's last event of this name, or null.</summary>
    public EventBody? LastEvent(string station, string name) => LastEventEntry(station, name) is { } entry ? LogJson.Read<EventBody>(entry.Body!) : null;

    /// <summary>The entry of the station's last event of this name, or null.</summary>
    public Entry? LastEventEntry(string station, string name) => Select(
        $"WHERE e.kind = 9 AND c.station = $station AND {Key("e", "name")} = $name ORDER BY e.id DESC LIMIT 1",
        ("$station", station), ("$name", name)).SingleOrDefault();

    /// <summary>The last command of this name that was obeyed, or null.</summary>
    /// <exception cref="System.Text.Json.JsonException">A later one is no longer what was written: it may have been this.</exception>
    public (long Id, string By)? LastObeyed(string station, string verb) => Select(
        $"WHERE e.kind = $kind AND c.station = $station AND (NOT json_valid(e.body) OR ({Key("e", "verb")} = $verb AND {Key("e", "obeyed")})) ORDER BY e.id DESC LIMIT 1",
        ("$kind", (int)EntryKind.Command), ("$station", station), ("$verb", verb)).Select(entry => ((long, string)?)(entry.Id, LogJson.Read<CommandBody>(entry.Body!).By)).SingleOrDefault();

    /// <summary>A key of a body; nothing of one that is no longer JSON, which would end the whole query.</summary>
    private static string Key(string table, string key) => $"CASE WHEN json_valid({table}.body) THEN json_extract({table}.body, '$.{key}') END";
}
