using Evenwater.Core.Safety;
using Evenwater.Log;

namespace Evenwater.Running;

/// <summary>Runs that the log has open of stations that are no longer configured, renamed or taken out: nobody goes on with them, so they end in the log, and who runs the program is told.</summary>
internal static class LeftRuns
{
    /// <summary>Name of the event that tells of one.</summary>
    public const string EventName = "run-left";

    /// <summary>Ends them in the log.</summary>
    /// <param name="log">The log.</param>
    /// <param name="configured">The stations that there are.</param>
    /// <param name="boot">This start's number in the log.</param>
    /// <param name="time">The clock.</param>
    /// <returns>Each in a sentence.</returns>
    public static IReadOnlyList<string> End(NightLog log, IEnumerable<string> configured, long boot, TimeProvider time) =>
        [.. log.Needed("its stations", log.Reader.Stations).Except(configured).Select(station => End(log, station, boot, time)).OfType<string>()];

    /// <summary>Whether a run that the log has last in this phase has ended.</summary>
    public static bool HasEnded(string phase) => phase == Words.Of(Phase.Finished) || phase == Words.Of(Phase.Abandoned);

    private static string? End(NightLog log, string station, long boot, TimeProvider time)
    {
        var (last, phase) = log.Needed($"what was last of {station}", () =>
            log.Reader.Last(station, EntryKind.Run) is { RunId: not null, Body: { } body } run ? (run, LogJson.Read<RunBody>(body).Phase) : default);
        if (last is null || HasEnded(phase))
        {
            return null;
        }

        var clock = StationClock.Real(default, time);
        var wall = clock.WallAt(default);
        log.Append(last with
        {
            BootId = boot,
            At = last.At.Plus(Cut.AtLeast(last.Wall, wall ?? default)),
            Wall = wall,
            ClockQuality = clock.Quality,
            Body = LogJson.Write(new RunBody(Words.Of(Phase.Abandoned), $"{station} is no longer configured")),
        });
        return $"Run {last.RunId} of {station} was {phase}, and there is no station {station} any more: it is ended in the log, and nothing goes on with it. "
            + $"Look at that vessel: are there animals in it? If {station} was renamed, measure what is in it and begin another run under the new name; what had tripped or was latched under the old one is not known to the new one.";
    }
}
