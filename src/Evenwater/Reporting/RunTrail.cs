using System.Text.Json;
using Evenwater.Core;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Log;
using Evenwater.Page;
using Evenwater.Running;

namespace Evenwater.Reporting;

/// <summary>
/// What a run went through, gathered while its log is replayed through the very cycle that ran it: the same readings, estimates and rates. Ends where the run ends.
/// </summary>
internal sealed class RunTrail
{
    /// <summary>A clock that a time server sets little by little differs by less between two entries, s. Our own choice.</summary>
    private const double StepSeconds = 60;

    private readonly StationState _state;
    private readonly RunHistory _history = new();
    private Entry? _former;
    private bool _open;

    private RunTrail(Station station) => _state = new StationState(station);

    /// <summary>The station as it was configured when the run began.</summary>
    public Station Station => _state.Station;

    public StationState State => _state;

    /// <summary>How many rows of the run are no longer what was written; they are passed over.</summary>
    public int Damaged { get; private set; }

    /// <summary>
    /// Whether the replay has seen the run begin. Without the readings of its beginning, which had to make room or are spoilt, it has not, and nothing that is reckoned from readings is known.
    /// </summary>
    public bool IsFollowed => GainRatio is not null;

    /// <summary>How the probes were matched in one cup as it began, 1 where they were not; null when that is not known.</summary>
    public double? GainRatio { get; private set; }

    /// <summary>The phase that it entered last, by the log.</summary>
    public string Phase { get; private set; } = "";

    /// <summary>Every entry of the run that is no cycle, in order, and where the clock was set meanwhile a word of it.</summary>
    public List<Entry> Others { get; } = [];

    public IReadOnlyList<HistoryPoint> History => _history.Snapshot();

    /// <summary>The greatest change of the vessel's conductivity, µS/cm per hour; null when it was never known.</summary>
    public double? ConductivityPerHour { get; private set; }

    /// <summary>The greatest distance of the vessel's conductivity from its start, µS/cm.</summary>
    public double? ConductivityInAll { get; private set; }

    /// <summary>The greatest change of the vessel's temperature, °C per hour.</summary>
    public double? CelsiusPerHour { get; private set; }

    /// <summary>The greatest distance of the vessel's temperature from its start, °C.</summary>
    public double? CelsiusInAll { get; private set; }

    public DateTimeOffset? Began { get; private set; }

    public DateTimeOffset? Opened { get; private set; }

    /// <summary>Since when the waters were even, the first time that it lasted.</summary>
    public DateTimeOffset? Even { get; private set; }

    /// <summary>When the valve closed last; null while it is open, or never was. When the program was stopped, as far as the log goes.</summary>
    public DateTimeOffset? Closed { get; private set; }

    /// <summary>When it ended; null while it goes on.</summary>
    public DateTimeOffset? Ended { get; private set; }

    public DateTimeOffset? Last { get; private set; }

    public double LastSeconds { get; private set; }

    public double? FirstLitres { get; private set; }

    /// <summary>Reads and replays a run.</summary>
    /// <exception cref="InvalidDataException">The log has no such run of that station.</exception>
    public static RunTrail Of(LogReader log, string station, long run)
    {
        RunTrail? trail = null;
        HashSet<long> damaged = [];
        IEnumerable<Entry> Read()
        {
            foreach (var entry in log.ReadRun(run, row => damaged.Add(row.FirstId)).Where(e => e.Station == station))
            {
                if (!EntryBodies.AreWhole(entry))
                {
                    damaged.Add(entry.Id);
                    continue;
                }

                trail ??= new RunTrail(Configured(log, entry, run));
                trail.Note(entry);
                if (trail.Ended is not null)
                {
                    yield break;
                }

                yield return entry;
            }
        }

        using var entries = Read().GetEnumerator();
        if (!entries.MoveNext())
        {
            return trail is null ? throw new InvalidDataException($"there is no run {run} of {station}") : With(damaged.Count);
        }

        var first = entries.Current;
        IEnumerable<Entry> All()
        {
            yield return first;
            while (entries.MoveNext())
            {
                yield return entries.Current;
            }
        }

        LogReplay.Run(All(), trail!._state, trail.Step);
        return With(damaged.Count);

        RunTrail With(int rows)
        {
            trail.Damaged = rows;
            return trail;
        }
    }

    private static Station Configured(LogReader log, Entry entry, long run)
    {
        try
        {
            return log.Configuration(entry.ConfigurationId);
        }
        catch (JsonException e)
        {
            throw new InvalidDataException($"how {entry.Station} was configured in run {run}, without which its readings say nothing", e);
        }
    }

    private void Note(Entry entry)
    {
        if (_open && _former is { } before && before.BootId != entry.BootId)
        {
            (_open, Closed) = (false, Last);
        }

        if (Stepped(entry) is { } stepped)
        {
            Others.Add(stepped);
        }

        _former = entry;
        Last = entry.Wall ?? Last;
        if (entry.Kind == EntryKind.Cycle)
        {
            return;
        }

        Others.Add(entry);
        if (entry.Kind == EntryKind.Run)
        {
            Phase = LogJson.Read<RunBody>(entry.Body!).Phase;
            Began ??= entry.Wall;
            var drips = Phase == Words.Of(Core.Safety.Phase.Dripping);
            Opened ??= drips ? entry.Wall : null;
            Closed = drips ? null : _open ? entry.Wall : Closed;
            _open = drips;
            Ended = Phase == Words.Of(Core.Safety.Phase.Finished) || Phase == Words.Of(Core.Safety.Phase.Abandoned) ? entry.Wall : null;
        }
    }

    /// <summary>That the clock was set between the entry before and this one: what happened before is dated by the clock as it went then.</summary>
    private Entry? Stepped(Entry entry)
    {
        if (_former is not { } former || former.BootId != entry.BootId || (entry.Wall - former.Wall)?.TotalSeconds - entry.At.SecondsSince(former.At) is not { } by || !(Math.Abs(by) > StepSeconds))
        {
            return null;
        }

        var text = $"This computer's clock was set {(by > 0 ? "forward" : "back")} by {TimeWords.Span(Math.Abs(by))}, or it slept; what stands before is dated by the clock as it went then.";
        return entry with { Kind = EntryKind.Event, Samples = null, Body = LogJson.Write(new EventBody("clock-stepped", text)) };
    }

    private void Step(Entry cycle, in EffectBuffer effects)
    {
        if (_state.Run is not { } run)
        {
            return;
        }

        GainRatio ??= run.GainRatio;
        ConductivityPerHour = Greater(ConductivityPerHour, _state.ConductivityRate.PerHour);
        ConductivityInAll = Greater(ConductivityInAll, _state.ConductivityRate.FromStart);
        CelsiusPerHour = Greater(CelsiusPerHour, _state.TemperatureRate.PerHour);
        CelsiusInAll = Greater(CelsiusInAll, _state.TemperatureRate.FromStart);
        FirstLitres ??= _state.HasForecast ? _state.Forecast.VolumeLitres.P50 : null;
        if (Even is null && _state.WasEven && cycle.Wall is { } wall)
        {
            Even = wall.AddSeconds(-cycle.At.SecondsSince(_state.EvenSince));
        }

        LastSeconds = cycle.At.SecondsSince(_state.StartedAt);
        _history.Add(ViewMaker.Point(_state, LastSeconds));
    }

    private static double? Greater(double? so, double? value) => value is { } known && !(Math.Abs(known) <= Math.Abs(so ?? 0)) ? known : so ?? value;
}
