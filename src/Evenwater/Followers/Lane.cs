namespace Evenwater.Followers;

/// <summary>What one cursor goes over: all of the log, or of one station the cycles or the rest.</summary>
/// <param name="Cursor">The cursor's name.</param>
/// <param name="Station">Of this station alone; null for all.</param>
/// <param name="Cycles">Whether cycles are told.</param>
/// <param name="Others">Whether entries are told that are no cycles.</param>
internal sealed record Lane(string Cursor, string? Station, bool Cycles, bool Others)
{
    /// <summary>The database's.</summary>
    public static readonly Lane Influx = new(InfluxFollower.Name, null, true, true);

    private const string Mqtt = "mqtt/";
    private const string Readings = "/readings";

    /// <summary>All that follow by this plan.</summary>
    public static IReadOnlyList<Lane> Of(FollowerPlan plan, IEnumerable<string> stations) =>
    [
        .. plan.Influx is null ? [] : new[] { Influx },
        .. plan.Mqtt is null ? [] : stations.SelectMany(station => new[] { Words(station), ReadingsOf(station) }),
    ];

    /// <summary>The lane of a cursor that the log has; null when it is not one of ours.</summary>
    public static Lane? Of(string cursor) => true switch
    {
        _ when cursor == InfluxFollower.Name => Influx,
        _ when cursor.StartsWith(Mqtt, StringComparison.Ordinal) && cursor.EndsWith(Readings, StringComparison.Ordinal) => ReadingsOf(cursor[Mqtt.Length..^Readings.Length]),
        _ when cursor.StartsWith(Mqtt, StringComparison.Ordinal) => Words(cursor[Mqtt.Length..]),
        _ => null,
    };

    /// <summary>The broker's lane for all of a station but its readings.</summary>
    public static Lane Words(string station) => new($"{Mqtt}{station}", station, false, true);

    /// <summary>The broker's lane for a station's readings.</summary>
    public static Lane ReadingsOf(string station) => new($"{Mqtt}{station}{Readings}", station, true, false);
}
