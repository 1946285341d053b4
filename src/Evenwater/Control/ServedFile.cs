using System.Text.Json.Nodes;
using Evenwater.Core.Stations;
using Evenwater.Log;

namespace Evenwater.Control;

/// <summary>A station file that was changed since the daemon read it: what is planned by the one would run by the other, with another mark, until the daemon is started anew.</summary>
internal static class ServedFile
{
    /// <summary>As the daemon tells it.</summary>
    public static string Of(Station station) => LogJson.Write(station);

    /// <summary>The first key that the daemon has otherwise, with both values and what to do; null when there is none, or nothing was told.</summary>
    /// <param name="file">As it is read now.</param>
    /// <param name="served">As the daemon told it.</param>
    public static string? Otherwise(Station file, string? served) =>
        Another(file, served) ?? (served is not null && First(JsonNode.Parse(Of(file)), JsonNode.Parse(served)) is var (key, now, then)
            ? $"{key} = {now} in the station file of {file.Name}, but the daemon goes by {then}, which it read at its start. Start the daemon anew, so that both go by the same file."
            : null);

    /// <summary>Why a station of that file is not what the daemon means by its name, and what to do; null when it is, or nothing was told: "river" is short for "sim-river" where there is no other.</summary>
    public static string? Another(Station file, string? served) => served is not null && JsonNode.Parse(served)!["name"]!.GetValue<string>() is var name && name != file.Name
        ? $"The daemon knows {name} and no {file.Name} yet. Start it anew with the station file of {file.Name}, or say {name}."
        : null;

    private static (string Key, string Now, string Then)? First(JsonNode? now, JsonNode? then, string key = "")
    {
        if (JsonNode.DeepEquals(now, then))
        {
            return null;
        }

        return (now, then) switch
        {
            (JsonObject here, JsonObject there) => here.Select(p => p.Key).Union(there.Select(p => p.Key))
                .Select(name => First(here[name], there[name], key.Length == 0 ? name : $"{key}.{name}")).First(found => found is not null),
            (JsonArray here, JsonArray there) when here.Count == there.Count => here.Zip(there)
                .Select((pair, i) => First(pair.First, pair.Second, $"{key}[{i}]")).First(found => found is not null),
            _ => (key, Text(now), Text(then)),
        };
    }

    private static string Text(JsonNode? value) => value is null ? "nothing" : LogJson.Write(value);
}
