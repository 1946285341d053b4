using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Log;
using Evenwater.Photographs;
using Evenwater.Options;
using Evenwater.Running;

namespace Evenwater.Keeping;

/// <summary>Writes a note while no daemon runs: takes the state lock, appends to the log, and lets both go.</summary>
internal static class OfflineBook
{
    /// <summary>Writes it, or says why not.</summary>
    /// <param name="state">The state folder; made if it is not there.</param>
    /// <param name="station">The station, as it was configured last.</param>
    /// <param name="wanted">The note, without a name.</param>
    /// <param name="time">The clock; a simulated station goes by its own last cycle instead.</param>
    /// <exception cref="LogUnusableException">The log can not be opened or read.</exception>
    /// <exception cref="IOException">It can not be written.</exception>
    public static Draft Write(string state, Station station, Note wanted, TimeProvider time)
    {
        using var held = StateLock.Take(state, out var holder);
        if (held is null)
        {
            throw new IOException($"{state} is in use by {holder}, which does not answer its socket.");
        }

        using var log = NightLog.Open(state, time);
        var clock = StationClock.Real(default, time);
        var own = log.Needed("the last readings", () => OwnNow.Own(log.Reader, station.Name));
        var now = own ?? clock.WallAt(clock.Now);
        var draft = log.Needed($"the book of {station.Name}", () => Draft.Of(wanted, Books.Of(log.Reader, station.Name), station.Name, now, new PhotographFolder(state).Has));
        if (draft.Note is { } note)
        {
            log.Append(new Entry
            {
                BootId = log.StartBoot(typeof(OfflineBook).Assembly.GetName().Version!.ToString(3), simulated: false),
                ConfigurationId = log.Configure(station),
                Station = station.Name,
                At = default,
                Wall = now,
                ClockQuality = own is null ? clock.Quality : ClockQuality.Simulated,
                Kind = EntryKind.Note,
                Body = LogJson.Write(new NoteBody(note)),
            });
            log.Flush();
        }

        return draft;
    }
}
