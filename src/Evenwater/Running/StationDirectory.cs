using System.Collections.Concurrent;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Page;

namespace Evenwater.Running;

/// <summary>Every station of this daemon by its name: the one door through which socket, page and broker ask.</summary>
internal sealed class StationDirectory
{
    private readonly ConcurrentDictionary<string, StationLoop> _loops = new(StringComparer.Ordinal);
    private readonly Lock _gate = new();
    private readonly Dictionary<string, Asking> _closes = []; // of stations that are not there yet: their runs may go on by themselves when they are

    /// <summary>The stations that there are to be, in whatever order they come; empty where nobody said.</summary>
    public IReadOnlyList<string> Expected { get; init; } = [];

    /// <summary>How long an answer is waited for.</summary>
    public TimeSpan Patience { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>Puts a station's loop in place of its last, and closes it if that was asked before.</summary>
    public void Set(StationLoop loop)
    {
        lock (_gate)
        {
            _loops[loop.State.Station.Name] = loop;
            if (_closes.Remove(loop.State.Station.Name, out var close)) _ = loop.Ask(close);
        }
    }

    /// <summary>Every station that there is or is to be, in order.</summary>
    public IEnumerable<string> Names => _loops.Keys.Union(Expected).Order(StringComparer.Ordinal);

    /// <summary>Every station's loop.</summary>
    public IEnumerable<StationLoop> Loops => _loops.Values;

    /// <summary>Whether a station runs already.</summary>
    public bool Has(string station) => _loops.ContainsKey(station);

    /// <summary>By their names. A copy of its own: an ordering would copy it for itself, and end in an exception when a station comes meanwhile.</summary>
    private IEnumerable<KeyValuePair<string, StationLoop>> InOrder => _loops.ToArray().OrderBy(l => l.Key, StringComparer.Ordinal);

    /// <summary>Every station as it is scraped, by its name.</summary>
    public IReadOnlyList<ScrapedStation> Scraped(StationBoard board) =>
    [
        .. from loop in InOrder
           let shown = loop.Value.Shown
           let posted = board.Find(loop.Key)
           where posted is not null
           select new ScrapedStation(loop.Key, posted.Value.View.Simulated, posted.Value.SilentSeconds, shown.Phase, shown.Readings, posted.Value.View.Forecast, posted.Value.View is { ValveOpen: true, ValveRests: false }),
    ];

    /// <summary>Records something about a station that happened outside its cycle.</summary>
    public void Note(string station, string name, string text) => Find(station)?.Note(name, text);

    /// <summary>Records what concerns no one station at each of them.</summary>
    public void NoteAll(string name, string text)
    {
        foreach (var loop in _loops.Values)
        {
            loop.Note(name, text);
        }
    }

    /// <summary>A database refuses what is sent of this station, or of another that is no longer here; null: none is refused any more. One station alone tells of it.</summary>
    public void SendingRefused(string? station)
    {
        var concerned = station is null ? null : Find(station) ?? InOrder.FirstOrDefault().Value;
        foreach (var loop in _loops.Values)
        {
            loop.SendingRefused = loop == concerned;
        }
    }

    /// <summary>What an opening would permit as of the last turn; null while the station is not there.</summary>
    public OpeningBudget? Budget(string station) => _loops.TryGetValue(station, out var loop) ? loop.Shown.Budget : null;

    /// <summary>A person has read the cautions of a station's page.</summary>
    public void DismissCautions(string station) => Find(station)?.DismissCautions();

    /// <summary>Asks, and waits for the next cycle's answer; a close waits for a station that goes through its log yet. What nobody waits for any more is called off, or a cycle that stood still would open long after its person was told that it had not answered; a close stays.</summary>
    public async Task<Answer> AskAsync(string? station, Asking asking, CancellationToken stop)
    {
        var closes = asking.Verb == Verb.Close;
        if ((closes ? AskClose(station, asking) : Find(station)?.Ask(asking)) is not { } asked)
        {
            return new Answer(false, NoSuch(station));
        }

        try
        {
            return await asked.WaitAsync(Patience, stop);
        }
        catch (TimeoutException) when (Coming(station) is { } coming)
        {
            return new Answer(false, $"{StationBoard.NotYet(coming)} It is closed as soon as it is there, and goes on with no run.");
        }
        catch (TimeoutException)
        {
            var late = new Answer(false, $"{Find(station)!.State.Station.Name} has not answered for {Patience.TotalSeconds:F0} s{(closes ? "" : ", and what was asked is called off unless it is under way already")}. If its cycle stands still, its valve closes by itself within 5 s; look at it.");
            if (!closes) asking.Reply(late);
            return late;
        }
    }

    private Task<Answer>? AskClose(string? station, Asking close)
    {
        lock (_gate)
        {
            return Find(station) is { } loop ? loop.Ask(close)
                : Coming(station) is not { } coming ? null
                : _closes.TryGetValue(coming, out var first) ? first.Answered
                : (_closes[coming] = close).Answered;
        }
    }

    /// <summary>Where no station was named: those that go through their log yet, each in a sentence.</summary>
    public IEnumerable<string> Awaited(string? station) => Expected.Where(name => station is null && !_loops.ContainsKey(name)).Select(StationBoard.NotYet);

    /// <summary>Whether a station is named that there is not, nor will be.</summary>
    public bool IsUnknown(string? station) => !_loops.IsEmpty && Find(station) is null && Coming(station) is null;

    /// <summary>What to answer who names a station that is not here, or not yet, or none where there are several.</summary>
    public string NoSuch(string? station) => _loops.IsEmpty
        ? "No station is there yet: the program is starting, and every valve is closed. Ask again in a few seconds."
        : Coming(station) is { } coming ? $"{StationBoard.NotYet(coming)} Ask again in a few seconds."
        : $"{(string.IsNullOrWhiteSpace(station) ? "Name the station that is meant; nothing was done." : $"There is no station {station} here.")} There are: {string.Join(", ", Names)}.";

    /// <summary>The station of that name, with or without sim-, that goes through its log yet; null when there is none.</summary>
    public string? Coming(string? station) => Expected.FirstOrDefault(name => !_loops.ContainsKey(name) && (name == station || name == $"sim-{station}"));

    /// <summary>The station of that name, with or without sim-; null stands for the only one that there is or is to be.</summary>
    public StationLoop? Find(string? station) => station is not null
        ? _loops.GetValueOrDefault(station) ?? _loops.GetValueOrDefault($"sim-{station}")
        : _loops.Count == 1 && Expected.Count <= 1 ? _loops.Values.First() : null;
}
