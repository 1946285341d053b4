using System.Collections.Concurrent;
using Evenwater.Control;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Safety;
using Evenwater.Page;

namespace Evenwater.Running;

/// <summary>Every station of this daemon by its name: the one door through which socket, page and broker ask.</summary>
internal sealed class StationDirectory
{
    private readonly ConcurrentDictionary<string, StationLoop> _loops = new(StringComparer.Ordinal);

    /// <summary>The stations that there are to be, in whatever order they come; empty where nobody said.</summary>
    public IReadOnlyList<string> Expected { get; init; } = [];

    /// <summary>How long an answer is waited for.</summary>
    public TimeSpan Patience { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>Puts a station's loop in place of its last.</summary>
    public void Set(StationLoop loop) => _loops[loop.State.Station.Name] = loop;

    /// <summary>Every station's loop.</summary>
    public IEnumerable<StationLoop> Loops => _loops.Values;

    /// <summary>Whether a station runs already.</summary>
    public bool Has(string station) => _loops.ContainsKey(station);

    /// <summary>Every station as it is scraped, by its name.</summary>
    public IReadOnlyList<ScrapedStation> Scraped(StationBoard board) =>
    [
        .. from loop in _loops.OrderBy(l => l.Key, StringComparer.Ordinal)
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
        var concerned = station is null ? null : Find(station) ?? _loops.OrderBy(l => l.Key, StringComparer.Ordinal).Select(l => l.Value).FirstOrDefault();
        foreach (var loop in _loops.Values)
        {
            loop.SendingRefused = loop == concerned;
        }
    }

    /// <summary>What an opening would permit as of the last turn; null while the station is not there.</summary>
    public OpeningBudget? Budget(string station) => _loops.TryGetValue(station, out var loop) ? loop.Shown.Budget : null;

    /// <summary>A person has read the cautions of a station's page.</summary>
    public void DismissCautions(string station) => Find(station)?.DismissCautions();

    /// <summary>Asks, and waits for the next cycle's answer. What nobody waits for any more is called off, or a cycle that stood still would open long after its person was told that it had not answered; a close stays.</summary>
    public async Task<Answer> AskAsync(string? station, Asking asking, CancellationToken stop)
    {
        if (Find(station) is not { } loop)
        {
            return new Answer(false, NoSuch(station));
        }

        try
        {
            return await loop.Ask(asking).WaitAsync(Patience, stop);
        }
        catch (TimeoutException)
        {
            var closes = asking.Verb == Verb.Close;
            var late = new Answer(false, $"{loop.State.Station.Name} has not answered for {Patience.TotalSeconds:F0} s{(closes ? "" : ", and what was asked is called off unless it is under way already")}. If its cycle stands still, its valve closes by itself within 5 s; look at it.");
            if (!closes) asking.Reply(late);
            return late;
        }
    }

    /// <summary>Obeys a line from the control socket.</summary>
    public Task<ControlAnswer> ObeyAsync(ControlAsk ask) => ObeyAsync(ask, "socket");

    /// <summary>Obeys what is asked by somebody.</summary>
    public async Task<ControlAnswer> ObeyAsync(ControlAsk ask, string by)
    {
        Verb? verb = ask.Verb switch
        {
            "begin" => Verb.Begin,
            "close" => Verb.Close,
            "reset" => Verb.Reset,
            "finish" => Verb.Finish,
            "acknowledge" => Verb.Acknowledge,
            "drawn" => Verb.Drawn,
            "shelve" => Verb.Shelve,
            "unshelve" => Verb.Unshelve,
            "retire" => Verb.Retire,
            "return" => Verb.Return,
            _ => null,
        };
        if (ask.Verb == "status")
        {
            var text = string.Join('\n', _loops.Values.Where(l => ask.Station is null || l == Find(ask.Station)).Select(StatusText.Of).Concat(Awaited(ask.Station)));
            return new ControlAnswer(text.Length > 0, text.Length > 0 ? text : NoSuch(ask.Station));
        }

        if (ask.Verb == "alarms")
        {
            return Alarms(ask);
        }

        if (ask.Verb == "phase")
        {
            return Find(ask.Station) is { } asked
                ? new ControlAnswer(true, Words.Of(asked.Shown.Phase))
                : new ControlAnswer(false, NoSuch(ask.Station));
        }

        if (ask.Verb == "release")
        {
            return Find(ask.Station) is { } holding
                ? new ControlAnswer(holding.ReleaseSteps.Count > 0, string.Join('\n', holding.ReleaseSteps)) { Arrival = holding.State.Run?.Animals?.Arrival }
                : new ControlAnswer(false, NoSuch(ask.Station));
        }

        if (ask.Verb == "readings")
        {
            return Find(ask.Station) is { } read
                ? new ControlAnswer(read.DevicesMissing is null, read.DevicesMissing ?? $"The readings of {read.State.Station.Name}.", ControlReading.Of(read.Shown.Readings))
                : new ControlAnswer(false, NoSuch(ask.Station));
        }

        if (ask.Verb == "raw")
        {
            return Find(ask.Station) is { Shown: var shown }
                ? new ControlAnswer(true, Words.Of(shown.Phase)) { Raw = RawReading.Of(shown.Raw), Drops = shown.Drops }
                : new ControlAnswer(false, NoSuch(ask.Station));
        }

        if (ask.Verb == "cup")
        {
            return PutInCup(ask);
        }

        if (ask.Verb == "proof")
        {
            return Prove(ask);
        }

        if (verb is not { } known)
        {
            return NotUnderstood($"verb: \"{ask.Verb}\" is not one of begin, close, reset, finish, drawn, acknowledge, shelve, unshelve, retire, return, alarms, proof, phase, readings, raw, release, note, cup, status.");
        }

        if (known == Verb.Drawn && ask.Drawn is not { Litres: > 0, RelativeSd: >= 0 and <= 1 })
        {
            return NotUnderstood("drawn: say how many litres, more than 0, and how well they are known, as a fraction of 0 to 1.");
        }

        var (alarm, problem) = AlarmAsk.Concerns(known) ? AlarmAnswers.Read(known, ask) : (default, null);
        if (problem is not null)
        {
            return NotUnderstood(problem);
        }

        if (known == Verb.Close && ask.Station is null && !_loops.IsEmpty)
        {
            return await CloseAllAsync(by);
        }

        if (Find(ask.Station) is null)
        {
            return Absent(ask.Station);
        }

        var asking = new Asking(known, by, known == Verb.Begin ? ask.Known ?? new StartKnown() : null, ask.Drawn ?? default, alarm) { GoesOn = ask.GoesOn };
        var answer = await AskAsync(ask.Station, asking, CancellationToken.None);
        if (answer.Obeyed && known == Verb.Finish && ask.Note is { } animals && Find(ask.Station) is { } finished)
        {
            finished.Note("animals", animals);
        }

        return new ControlAnswer(answer.Obeyed, answer.Text);
    }

    /// <summary>Who says close and names no station means whatever runs.</summary>
    private async Task<ControlAnswer> CloseAllAsync(string by)
    {
        var names = _loops.Keys.Order(StringComparer.Ordinal);
        var answers = await Task.WhenAll(names.Select(name => AskAsync(name, new Asking(Verb.Close, by), CancellationToken.None)));
        return new ControlAnswer(answers.All(answer => answer.Obeyed), string.Join('\n', answers.Select(answer => answer.Text).Concat(Awaited(null))));
    }

    /// <summary>Where no station was named: those that go through their log yet, each in a sentence.</summary>
    private IEnumerable<string> Awaited(string? station) => Expected.Where(name => station is null && !_loops.ContainsKey(name)).Select(StationBoard.NotYet);

    private static ControlAnswer NotUnderstood(string why) => new(false, why) { NotUnderstood = true };

    /// <summary>Who names a station that there is not is told that it was wrong use; who names one too early, to ask again.</summary>
    private ControlAnswer Absent(string? station) => new(false, NoSuch(station)) { NotUnderstood = !_loops.IsEmpty && Coming(station) is null };

    /// <summary>What to answer who names a station that is not here, or not yet, or none where there are several.</summary>
    public string NoSuch(string? station) => _loops.IsEmpty
        ? "No station is there yet: the program is starting, and every valve is closed. Ask again in a few seconds."
        : Coming(station) is { } coming ? $"{StationBoard.NotYet(coming)} Ask again in a few seconds."
        : $"{(station is null ? "Name the station that is meant; nothing was done." : $"There is no station {station} here.")} There are: {string.Join(", ", _loops.Keys.Union(Expected).Order(StringComparer.Ordinal))}.";

    /// <summary>The station of that name, with or without sim-, that goes through its log yet; null when there is none.</summary>
    private string? Coming(string? station) => Expected.FirstOrDefault(name => !_loops.ContainsKey(name) && (name == station || name == $"sim-{station}"));

    private ControlAnswer Alarms(ControlAsk ask)
    {
        var asked = _loops.Values.Where(l => ask.Station is null || l == Find(ask.Station)).OrderBy(l => l.State.Station.Name, StringComparer.Ordinal);
        var text = string.Join("\n\n", asked.Select(l => ask.Note == "all"
            ? AlarmsText.All(l.State.Station.Name, l.Shown.Alarms)
            : AlarmsText.Of(l.State.Station.Name, l.Shown.Alarms, l.WallNow)));
        return text.Length > 0 ? new ControlAnswer(true, string.Join("\n\n", Awaited(ask.Station).Prepend(text))) : Absent(ask.Station);
    }

    /// <summary>In a simulated station the keeper's hands are simulated too; they move no probe while a run is on.</summary>
    private ControlAnswer PutInCup(ControlAsk ask)
    {
        if (Find(ask.Station) is not { } loop)
        {
            return new ControlAnswer(false, NoSuch(ask.Station));
        }

        if (loop.Hands is not { } hands)
        {
            return new ControlAnswer(false, "Only a person can do that.");
        }

        if (loop.Shown.Phase is Phase.Armed or Phase.Dripping or Phase.Holding or Phase.Tripped)
        {
            return new ControlAnswer(false, $"{loop.State.Station.Name} has a run: its probes stay where they are.");
        }

        return hands.Do(ask.Note ?? "") is { } done
            ? new ControlAnswer(true, done)
            : new ControlAnswer(false, $"cup: \"{ask.Note}\" is not one of {SimulatedHands.Allowed}.") { NotUnderstood = true };
    }

    private ControlAnswer Prove(ControlAsk ask)
    {
        if (Find(ask.Station) is not { } loop)
        {
            return new ControlAnswer(false, NoSuch(ask.Station));
        }

        return loop.Proof.Obey(ask.Note ?? "look");
    }

    /// <summary>The station of that name, with or without sim-; null stands for the only one that there is or is to be.</summary>
    public StationLoop? Find(string? station) => station is not null
        ? _loops.GetValueOrDefault(station) ?? _loops.GetValueOrDefault($"sim-{station}")
        : _loops.Count == 1 && Expected.Count <= 1 ? _loops.Values.First() : null;
}
