using System.Text.Json;
using Evenwater.Core.Calibration;
using Evenwater.Core.Review.Comparing;
using Evenwater.Log;
using Evenwater.Log.Blocks;

namespace Evenwater.Keeping;

/// <summary>When a station was read by another configuration than before, and in which keys they differ. Calibrations are told by the book.</summary>
internal static class SettingChanges
{
    private const int Named = 3;

    /// <summary>In order of time.</summary>
    public static IReadOnlyList<Else> Of(string folder, string station, DateTimeOffset from, DateTimeOffset to)
    {
        using var connection = LogFile.OpenForReading(folder, KeptLog.BusySeconds);
        List<(long First, long Configuration, long At, string Json)> rows = [];
        foreach (var table in new[] { BlockSql.Block, BlockSql.Batch })
        {
            rows.AddRange(connection.Each(
                $"SELECT b.first_id, b.configuration_id, b.first_wall_ms, c.json FROM {table} b JOIN configuration c ON c.id = b.configuration_id WHERE c.station = $station AND {BlockSql.InSpan}",
                row => (row.GetInt64(0), row.GetInt64(1), row.GetInt64(2), row.GetString(3)),
                BlockSql.Span(from.ToUnixTimeMilliseconds(), to.ToUnixTimeMilliseconds(), ("$station", station))));
        }

        rows.Sort((a, b) => a.First.CompareTo(b.First));

        return [.. rows.Zip(rows.Skip(1)).Where(pair => pair.First.Configuration != pair.Second.Configuration).Select(pair => Of(pair.First.Json, pair.Second.Json, DateTimeOffset.FromUnixTimeMilliseconds(pair.Second.At))).OfType<Else>()];
    }

    private static Else? Of(string before, string after, DateTimeOffset at)
    {
        List<string> keys;
        try
        {
            using var was = JsonDocument.Parse(before);
            using var now = JsonDocument.Parse(after);
            keys = [.. Differing("", was.RootElement, now.RootElement).Where(key => CalibratedKeys.Named(key) is null)];
        }
        catch (JsonException)
        {
            return new(ElseKind.Setting, at, at, "the station file changed, in what can not be told: one of the two is damaged in the log");
        }

        return keys.Count == 0 ? null : new(ElseKind.Setting, at, at, $"the station file: {string.Join(", ", keys.Take(Named))}{(keys.Count > Named ? $" and {keys.Count - Named} more" : "")} changed");
    }

    private static IEnumerable<string> Differing(string path, JsonElement was, JsonElement now)
    {
        if (was.ValueKind != JsonValueKind.Object || now.ValueKind != JsonValueKind.Object) return JsonElement.DeepEquals(was, now) ? [] : [path];
        return was.EnumerateObject().Select(one => one.Name).Union(now.EnumerateObject().Select(one => one.Name)).SelectMany(name =>
        {
            var key = path.Length == 0 ? name : $"{path}.{name}";
            return (was.TryGetProperty(name, out var w), now.TryGetProperty(name, out var n)) switch
            {
                (true, true) => Differing(key, w, n),
                _ => (IEnumerable<string>)[key],
            };
        });
    }
}
