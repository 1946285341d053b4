using Evenwater.Core.Stations;
using Evenwater.Followers;
using Evenwater.Options;

namespace Evenwater.Watch;

/// <summary>
/// What the daemon leaves for the programs that act when it cannot any more: systemd/evenwater-close and systemd/evenwater-gave-up. Plain lines, since
/// they are shell scripts on purpose: they work when this program does not.
/// </summary>
internal static class LeftBehind
{
    /// <summary>In $RUNTIME_DIRECTORY, which a boot empties: the valve lines of the board's stations, one "LINE LABEL" each.</summary>
    public const string ValveLines = "valve-lines";

    /// <summary>In the state folder, which a boot keeps: where the broker is, and for which stations to tell it.</summary>
    public const string Broker = "broker";

    /// <summary>Writes both; a warning for each that cannot be written. Call it before any line is taken.</summary>
    public static void Write(IReadOnlyList<Station> stations, MqttOptions? mqtt, string state, ILogger logger)
    {
        if (Places.Variable("RUNTIME_DIRECTORY") is { } runtime)
        {
            Write(Path.Combine(runtime, ValveLines), LinesOf(stations), logger);
        }
        else if (Places.Variable("NOTIFY_SOCKET") is not null)
        {
            logger.LogWarning("The unit has no RuntimeDirectory=: evenwater-close will not know the valve's line when this ends.");
        }

        Write(Path.Combine(state, Broker), BrokerOf(mqtt, stations, Places.Variable("CREDENTIALS_DIRECTORY")), logger);
    }

    /// <summary>One line for each valve on a board; a simulated station has none.</summary>
    public static IEnumerable<string> LinesOf(IEnumerable<Station> stations) => stations
        .Where(s => s.Sensors.Source == SensorSource.Board)
        .Select(s => $"{s.Sensors.ValveLine} {s.Sensors.GpioChipLabel}");

    /// <summary>
    /// A key and a value a line; nothing without a broker. A secret in the credentials folder is named without it, since another unit has another.
    /// </summary>
    public static IEnumerable<string> BrokerOf(MqttOptions? mqtt, IEnumerable<Station> stations, string? credentials)
    {
        if (mqtt is null)
        {
            return [];
        }

        List<string> lines = [$"host {mqtt.Host}", $"port {mqtt.Port}"];
        foreach (var (key, value) in new[] { ("user", mqtt.User), ("password-file", Named(mqtt.PasswordFile)), ("ca-file", Named(mqtt.CaFile)) })
        {
            if (value is not null)
            {
                lines.Add($"{key} {value}");
            }
        }

        return [.. lines, .. stations.Select(s => $"station {s.Name}")];

        string? Named(string? file) => file is not null && credentials is not null && Path.GetDirectoryName(file) == credentials ? Path.GetFileName(file) : file;
    }

    /// <summary>Whole or not at all, and only when it says something else: a disk that is full keeps what it has.</summary>
    private static void Write(string path, IEnumerable<string> lines, ILogger logger)
    {
        var text = string.Concat(lines.Select(l => l + "\n"));
        try
        {
            if (File.Exists(path) && File.ReadAllText(path) == text)
            {
                return;
            }

            if (text.Length == 0)
            {
                File.Delete(path);
                return;
            }

            File.WriteAllText(path + ".new", text);
            File.Move(path + ".new", path, overwrite: true);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            logger.LogWarning("{Path} can not be written: {Why}", path, e.Message);
        }
    }
}
