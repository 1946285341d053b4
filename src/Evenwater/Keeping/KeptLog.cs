using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Options;

namespace Evenwater.Keeping;

/// <summary>Which log a command means that reads or writes a book.</summary>
/// <param name="Folder">Where it stands.</param>
internal sealed record KeptLog(string Folder)
{
    public const int BusySeconds = 5;

    /// <summary>As given; else the running daemon's, the service's before the demo's; else the one that is there. Null when there is none.</summary>
    public static KeptLog? Find(string? given)
    {
        if (given is not null)
        {
            return File.Exists(Path.Combine(given, LogFile.Name)) ? new KeptLog(given) : null;
        }

        return First(state => File.Exists(Places.Socket(state))) ?? First(_ => true);

        static KeptLog? First(Func<string, bool> fits) => Enumerable.Range(0, 2)
            .Select(i => new KeptLog(Places.State(demo: i == 1)))
            .FirstOrDefault(log => File.Exists(Path.Combine(log.Folder, LogFile.Name)) && fits(log.Folder));
    }

    /// <summary>What is told where <see cref="Find"/> found none.</summary>
    /// <param name="given">The folder that was named; null for the daemon's.</param>
    /// <param name="hasLog">Whether the command has the option --log.</param>
    public static string NotThere(string? given, bool hasLog = true) =>
        $"There is no log in {given ?? Places.State(demo: false)}. {(hasLog ? "Name the daemon's state folder by --log, or set $STATE_DIRECTORY to it." : "It begins when the daemon first runs; set $STATE_DIRECTORY to the daemon's state folder if that is another.")}";

    /// <summary>A station as it was configured last, or before, where that can no longer be read (see <see cref="SpanReader.LastConfiguration"/>).</summary>
    /// <param name="folder">The log's folder.</param>
    /// <param name="station">Its name, as it stands in the log.</param>
    public static (Station Station, bool Former) LastConfiguration(string folder, string station)
    {
        using var reader = new SpanReader(folder, BusySeconds);
        return reader.LastConfiguration(station) ?? throw new InvalidOperationException($"the log knows no {station}");
    }

    /// <summary>The station that is meant: as named, with or without sim-; the only one when none is named. Else what is wrong.</summary>
    public (string? Name, string? Problem) Station(string? asked)
    {
        var names = LogOrigin.Read(Folder, BusySeconds).Configurations.Select(c => c.Station).Distinct().Order(StringComparer.Ordinal).ToList();
        var found = asked is null ? (names.Count == 1 ? names[0] : null) : names.Find(n => n == asked) ?? names.Find(n => n == $"sim-{asked}");
        return found is not null
            ? (found, null)
            : (null, $"station = {asked ?? "(not named)"}: the log in {Folder} has {(names.Count == 0 ? "none yet" : string.Join(", ", names))}. Name one of them.");
    }
}
