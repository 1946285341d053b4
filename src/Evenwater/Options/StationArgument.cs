using Evenwater.Core.Stations;

namespace Evenwater.Options;

/// <summary>
/// The STATION argument of every command: the path of a station file, or the name of one in config/stations below the
/// current directory or in /etc/evenwater/stations.
/// </summary>
internal static class StationArgument
{
    public const string Description = "a station file, or the name of one in config/stations or /etc/evenwater/stations";

    /// <summary>Where names are looked for, in this order.</summary>
    public static IReadOnlyList<string> Folders { get; } = [Path.Combine("config", "stations"), "/etc/evenwater/stations"];

    /// <summary>Finds and reads the station; every failure is a list of problems.</summary>
    public static StationReading Read(string argument) => Read(argument, Folders);

    /// <summary>The path that <paramref name="argument"/> means, or null.</summary>
    public static string? Resolve(string argument, IReadOnlyList<string> folders)
    {
        if (IsPath(argument) || File.Exists(argument)) return argument;
        return folders.Select(folder => Path.Combine(folder, $"{argument}.json")).FirstOrDefault(File.Exists);
    }

    public static StationReading Read(string argument, IReadOnlyList<string> folders)
    {
        if (string.IsNullOrWhiteSpace(argument))
            return StationReading.Bad(new Problem("STATION", "empty", Description, "Give a file or a name."));
        if (Resolve(argument, folders) is { } path) return StationFile.Read(path);
        var names = folders.SelectMany(NamesIn).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal).ToArray();
        return StationReading.Bad(new Problem("STATION", $"\"{argument}\" was not found", Description,
            names.Length == 0
                ? $"Looked for {argument}.json in {string.Join(" and ", folders)}; there are no station files there."
                : $"Looked in {string.Join(" and ", folders)}. There: {string.Join(", ", names)}."));
    }

    private static IEnumerable<string> NamesIn(string folder)
    {
        try
        {
            return Directory.Exists(folder) ? [.. Directory.EnumerateFiles(folder, "*.json").Select(file => Path.GetFileNameWithoutExtension(file))] : [];
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }

    private static bool IsPath(string argument) => argument.Contains('/', StringComparison.Ordinal)
        || argument.Contains(Path.DirectorySeparatorChar, StringComparison.Ordinal)
        || argument.EndsWith(".json", StringComparison.Ordinal);
}
