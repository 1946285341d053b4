using System.Text.Json.Nodes;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Log;

namespace Evenwater.Control;

/// <summary>A station file that was changed since the daemon read it: what is planned by the one would run by the other, with another mark, until the daemon is started anew.</summary>
internal static class ServedFile
{
    /// <summary>So many keys are told, the others counted.</summary>
    private const int MostTold = 3;

    /// <summary>As the daemon tells it.</summary>
    public static string Of(Station station) => LogJson.Write(station);

    /// <summary>What the daemon has otherwise, key by key, with both values and what to do; null when nothing is, or nothing was told.</summary>
    /// <param name="file">As it is read now.</param>
    /// <param name="served">As the daemon told it.</param>
    public static string? Otherwise(Station file, string? served)
    {
        if (served is null || Another(file, served) is not null)
        {
            return Another(file, served);
        }

        var (now, then) = (Keys(Of(file)), Keys(served));
        string[] changed = [.. now.Keys.Union(then.Keys).Where(key => Value(now, key) != Value(then, key)).Select(key => $"{key} is {Value(now, key)} in the file and {Value(then, key)} in the daemon")];
        return changed.Length == 0 ? null
            : $"the station file of {file.Name} was changed after the daemon had read it: {string.Join(", ", changed.Take(MostTold))}{(changed.Length > MostTold ? $", and {HowMany.Of(changed.Length - MostTold, "more key")}" : "")}. "
                + "Start the daemon anew while no run is on, so that it reads the file again, or put back what the file had.";
    }

    /// <summary>Why a station of that file is not what the daemon means by its name, and what to do; null when it is, or nothing was told: "river" is short for "sim-river" where there is no other.</summary>
    public static string? Another(Station file, string? served) => served is not null && JsonNode.Parse(served)!["name"]!.GetValue<string>() is var name && name != file.Name
        ? $"The daemon knows {name} and no {file.Name} yet. Start it anew with the station file of {file.Name}, or say {name}."
        : null;

    /// <summary>Every key by its path, with its value as the file writes it.</summary>
    private static Dictionary<string, string> Keys(string station)
    {
        var keys = new Dictionary<string, string>();
        Add(JsonNode.Parse(station), "");
        return keys;

        void Add(JsonNode? node, string key)
        {
            switch (node)
            {
                case JsonObject group:
                    foreach (var (name, value) in group) Add(value, key.Length == 0 ? name : $"{key}.{name}");
                    break;
                case JsonArray list:
                    for (var i = 0; i < list.Count; i++) Add(list[i], $"{key}[{i}]");
                    break;
                default:
                    keys[key] = LogJson.Write(node);
                    break;
            }
        }
    }

    private static string Value(Dictionary<string, string> keys, string key) => keys.GetValueOrDefault(key, "left out");
}
