using System.Globalization;
using Evenwater.Core;
using Evenwater.Core.Alarms;
using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Keeping;
using Evenwater.Log;
using Evenwater.Page;
using Evenwater.Photographs;
using Evenwater.Running;

namespace Evenwater.Reporting;

/// <summary>Puts a run, its animals and its book together for paper.</summary>
internal static class ReportMaker
{
    private const string NotRead = "can't be told: the readings are not in the log";
    private const string NotTold = "not told: half an hour of readings, or ten minutes from the start, are needed";

    /// <summary>The report of one run.</summary>
    /// <param name="log">The log.</param>
    /// <param name="station">The station's name in it.</param>
    /// <param name="run">The run's number.</param>
    /// <param name="photographs">The photographs beside the log.</param>
    /// <param name="zone">The place, whose times are told.</param>
    /// <param name="now">When it is made.</param>
    /// <exception cref="InvalidDataException">The log has no such run of that station.</exception>
    public static RunReport Of(LogReader log, string station, long run, PhotographFolder photographs, TimeZoneInfo zone, DateTimeOffset now)
    {
        var (trail, book) = (RunTrail.Of(log, station, run), Books.Of(log, station));
        var (began, ended) = (trail.Began ?? now, trail.Ended ?? now);
        var named = trail.Others.Where(e => e.Kind == EntryKind.Event).Select(e => LogJson.Read<EventBody>(e.Body!)).LastOrDefault(e => e.Name == "run-animals")?.Arrival;
        var came = Arrivals.OfRun(book, named, run, began, ended);
        // A count that was noted as the run was ended is of its animals, also where nobody noted their arrival.
        Note[] fared = [.. came?.Outcomes ?? [], .. book.Standing.Where(note => note.Outcome is { Arrival: null, Run: { } of } && of == run)];
        var rates = Rates(trail);
        string At(DateTimeOffset? time) => time is { } at ? KeptTime.Text(at, zone) : "not dated";
        return new RunReport
        {
            Station = station,
            Run = run,
            Simulated = StationRules.IsSimulated(station),
            When = $"{At(trail.Began)} to {(trail.Ended is null ? "now, not ended yet" : At(trail.Ended))}",
            Verdict = Verdict(trail),
            Damage = DamagedRows.Say(trail.Damaged).Select(said => $"{said} What is reckoned from the readings, as rates, volumes and when the waters were even, may be other than it was.").FirstOrDefault(),
            Course = [.. Course(trail, At)],
            Arrival = came is null ? [] : [.. Arrival(came, At)],
            Outcomes = [.. Outcomes(fared, came, At, now)],
            Rates = rates,
            LimitsSaid = Said(trail, rates, At),
            Alarms = [.. Once([.. trail.Others.Where(e => e.Kind == EntryKind.Alarm).Select(e => Alarm(e, At))])],
            Happened = [.. Happened(trail, book, began, ended, At)],
            Photographs = [.. Photographs(book, came, fared, began, ended, photographs.Has)],
            Calibrations = [.. Calibrations(trail, book, began, At)],
            View = trail.History.Count < 2 ? null : View(trail, zone),
            Made = $"Made at {At(now)} ({(zone.GetUtcOffset(now) < TimeSpan.Zero ? "-" : "+")}{zone.GetUtcOffset(now):hh\\:mm} from UTC) from the log {log.Identity()}, by replaying the run through the program that ran it.",
        };
    }

    private static string Verdict(RunTrail trail)
    {
        var trip = trail.Others.Where(e => e.Kind == EntryKind.Trip).Select(e => LogJson.Read<TripBody>(e.Body!).Cause).FirstOrDefault();
        var even = (trail.Even, trail.Ended) switch
        {
            _ when !trail.IsFollowed => "Whether the waters became even can't be told: the log has no readings of the run's beginning",
            (null, null) => "The waters are not even so far",
            (null, _) => "The waters did not become even",
            _ => "The waters became even",
        };
        var closed = trip is null ? "" : $"; the valve was closed for safety ({AlarmTable.Named(trip)?.Title ?? trip})";
        return $"{even}{closed}. {(trail.Ended is null ? "The run has not ended." : trail.Phase == Words.Of(Phase.Finished) ? "The run was finished." : "The run was ended.")}";
    }

    private static IEnumerable<ReportRow> Course(RunTrail trail, Func<DateTimeOffset?, string> at)
    {
        var never = trail.Ended is null ? "not yet" : "never";
        yield return new("begun", at(trail.Began));
        yield return new("first opened", trail.Opened is null ? never : at(trail.Opened));
        yield return new("even since", !trail.IsFollowed ? NotRead : trail.Even is null ? $"{never}, for the dwell time" : at(trail.Even));
        yield return new("closed", trail.Closed is not null ? at(trail.Closed) : trail.Opened is null ? $"{never} opened" : "not yet");
        yield return new("ended", trail.Ended is null ? "not yet" : at(trail.Ended));
        yield return new("valve open", !trail.IsFollowed ? NotRead : $"{trail.State.OpenSeconds / 3600:0.0} h, {trail.State.InflowLitres:0.00} L let in by the forecast's flow");
        if (trail.State.HasForecast)
        {
            var v = trail.State.Forecast.VolumeLitres;
            yield return new("water in the vessel", $"{trail.FirstLitres:0.00} L at first; {v.P50:0.00} L {(trail.Ended is null ? "now" : "at the end")} (9 times in 10 between {v.P05:0.00} and {v.P95:0.00} L)");
        }

        if (trail.State.DrawOffsTold > 0)
        {
            yield return new("drawn off by hand", $"{trail.State.DrawnOffLitres:0.##} L, {HowMany.Times(trail.State.DrawOffsTold)}");
        }
    }

    private static IEnumerable<ReportRow> Arrival(Came came, Func<DateTimeOffset?, string> at)
    {
        var a = came.Animals;
        yield return new("noted", $"{came.Note.Id}, {at(came.Note.At)}, by {came.Note.By}");
        yield return new("animals", $"{a.Count} x {a.Species}");
        yield return new("mass", a.Grams is { } g ? $"{Number(g)} g together" : "not told");
        yield return new("kind for limits", a.Group is { } group ? AnimalGroups.Name(group) : "none told");
        yield return new("in transit", a.HoursInTransit is { } h ? $"{Number(h)} h" : "not told");
        yield return new("bag's conductivity", Measured(a.MicrosiemensPerCm, "µS/cm at 25 °C"));
        yield return new("bag's temperature", Measured(a.Celsius, "°C"));
        yield return new("bag's pH", Measured(a.Ph, ""));
        yield return new("bag's total ammonia", Measured(a.TotalAmmoniaMilligramsPerLitre, "mg/L"));
        yield return new("bag's nitrite", Measured(a.NitriteMilligramsPerLitre, "mg/L"));
        if (came.Note.Text.Length > 0)
        {
            yield return new("notes", came.Note.Text);
        }
    }

    private static IEnumerable<ReportRow> Outcomes(Note[] fared, Came? came, Func<DateTimeOffset?, string> at, DateTimeOffset now)
    {
        foreach (var note in fared)
        {
            var text = note.Text.Length > 0 ? $"; {note.Text}" : "";
            yield return new(ArrivalText.Name(note.Outcome!.Look), $"{at(note.At)}: alive {Counted(note.Outcome.Alive)}, dead {Counted(note.Outcome.Dead)}{text} ({note.By})");
        }

        foreach (var (look, due) in came?.Due(now) ?? [])
        {
            yield return new(ArrivalText.Name(look), $"due since {at(due)}, not noted");
        }

        foreach (var (look, due) in came?.ToCome(now) ?? [])
        {
            yield return new(ArrivalText.Name(look), $"due at {at(due)}");
        }
    }

    private static List<ReportRate> Rates(RunTrail trail)
    {
        var limits = trail.State.Limits;
        return
        [
            Rate("conductivity, greatest change in an hour", trail.ConductivityPerHour, "µS/cm per hour", "0", limits.MicrosiemensPerCmPerHour),
            Rate("conductivity, greatest distance from the start", trail.ConductivityInAll, "µS/cm", "0", limits.TotalMicrosiemensPerCm),
            Rate("temperature, greatest change in an hour", trail.CelsiusPerHour, "°C per hour", "0.00", limits.CelsiusPerHour),
            Rate("temperature, greatest distance from the start", trail.CelsiusInAll, "°C", "0.00", limits.TotalCelsius),
        ];
    }

    private static ReportRate Rate(string what, double? seen, string unit, string form, SourcedLimit? limit)
    {
        var passed = limit is { } most && Math.Abs(seen ?? 0) > most.Value;
        // One that was passed does not read like what was seen.
        var beyond = passed ? Beyond.Of(Math.Abs(seen!.Value), limit!.Value.Value, form, "0.###") : default;
        return new(
            what,
            seen is { } s ? $"{(passed ? $"{(s < 0 ? "-" : "+")}{beyond.Value}" : s.ToString($"+{form};-{form};{form}", CultureInfo.InvariantCulture))} {unit}" : NotTold,
            limit is { } l ? $"{(passed ? beyond.Limit : Number(l.Value))} {unit}" : "none set",
            limit?.Source ?? "",
            passed);
    }

    private static string Said(RunTrail trail, IReadOnlyList<ReportRate> rates, Func<DateTimeOffset?, string> at)
    {
        var trip = trail.Others.FirstOrDefault(e => e.Kind == EntryKind.Trip && LogJson.Read<TripBody>(e.Body!).Cause == AlarmTable.Of(AlarmId.LivestockLimit).Name);
        var passed = rates.Where(r => r.Passed).Select(r => r.What).ToList();
        return trip is not null ? $"A limit closed the valve at {at(trip.Wall)}."
            : passed.Count > 0 ? $"Passed: {string.Join("; ", passed)}."
            : rates.All(r => r.Source.Length == 0) ? "No limits were set for this station: nothing said how fast or how far was too much."
            : rates.Where(r => r.Source.Length > 0).ToList() is var limited && limited.TrueForAll(r => r.Seen == NotTold) ? "Whether a limit was passed can't be told: too little was read."
            : limited.Exists(r => r.Seen == NotTold) ? "No limit was passed, as far as enough was read to tell."
            : "No limit was passed.";
    }

    private static ReportMoment Alarm(Entry entry, Func<DateTimeOffset?, string> at)
    {
        var body = LogJson.Read<AlarmBody>(entry.Body!);
        return new(at(entry.Wall), $"{body.Title}: {AlarmSentence.Word(body.State)}{(body.Calls ? ", called" : "")}. {(body.State == AlarmStanding.Normal ? "" : body.Did)}");
    }

    /// <summary>What repeats itself takes one row.</summary>
    private static IEnumerable<ReportMoment> Once(List<ReportMoment> all) => Repeats.Of(all, moment => moment.Text).Select(one =>
        one.Again == 0 ? one.First : one.First with { Text = $"{one.First.Text} The same {HowMany.Times(one.Again)} more, last at {one.Last.When}." });

    private static IEnumerable<ReportMoment> Happened(RunTrail trail, Book book, DateTimeOffset began, DateTimeOffset ended, Func<DateTimeOffset?, string> at)
    {
        var told = trail.Others.Select(e => (e.Wall, Text: e.Kind switch
        {
            EntryKind.Run => LogJson.Read<RunBody>(e.Body!) is var run ? $"{run.Phase}: {run.Why}" : "",
            EntryKind.Trip => $"closed for safety: {LogJson.Read<TripBody>(e.Body!).Cause}",
            EntryKind.Command => Asked(LogJson.Read<CommandBody>(e.Body!)),
            EntryKind.Event => LogJson.Read<EventBody>(e.Body!) is var event_ ? $"{event_.Name}: {event_.Text}" : "",
            _ => "",
        })).Where(m => m.Text.Length > 0);
        var notes = book.Standing.Where(n => n.At >= began && n.At <= ended && n.Kind is not (NoteKind.Arrival or NoteKind.Outcome))
            .Select(n => (Wall: n.At, Text: $"noted by {n.By} ({NoteKinds.Name(n.Kind)}): {BookText.Words(n)}"));
        // In the order of the log, also where the clock was set back meanwhile; the notes by their dates among it.
        var latest = DateTimeOffset.MinValue;
        var order = told.Select(m => (m.Wall, m.Text, Place: latest = m.Wall > latest ? m.Wall.Value : latest)).ToList();
        return order.Concat(notes.Select(n => (n.Wall, n.Text, Place: n.Wall ?? latest))).OrderBy(m => m.Place).Select(m => new ReportMoment(at(m.Wall), m.Text));
    }

    private static string Asked(CommandBody command) =>
        command.Verb == Words.Of(Verb.Restarted) ? "the program was started again"
        : command.Verb == Words.Of(Verb.Drawn) ? $"{command.By} told of water drawn off: {command.Answer}"
        : $"{command.By} asked to {command.Verb}: {command.Answer}";

    private static IEnumerable<ReportRow> Photographs(Book book, Came? came, Note[] fared, DateTimeOffset began, DateTimeOffset ended, Func<string, bool> has)
    {
        var about = book.Standing.Where(n => n.Id == came?.Note.Id || fared.Any(o => o.Id == n.Id) || (n.At >= began && n.At <= ended));
        foreach (var note in about)
        {
            foreach (var name in note.Photographs ?? [])
            {
                yield return new($"{note.Id}, {NoteKinds.Name(note.Kind)}", $"{PhotographFolder.Name}/{name}.jpg, named by its SHA-256{(has(name) ? "" : "; its file is deleted")}");
            }
        }
    }

    private static IEnumerable<ReportRow> Calibrations(RunTrail trail, Book book, DateTimeOffset began, Func<DateTimeOffset?, string> at)
    {
        var made = book.Written.Where(n => n.Calibration is not null && n.At <= began).Select(n => n.Calibration!).ToList();
        foreach (var key in CalibratedKeys.All)
        {
            if (key.Get(trail.Station) is not { } value || !Bears(trail.Station, key.Name))
            {
                continue;
            }

            var record = made.LastOrDefault(m => m.Values.Any(v => v.Key == key.Name));
            yield return new(key.Name, $"{value.ToString("0.######", CultureInfo.InvariantCulture)} {key.Unit}, "
                + (record is null ? "from the station file" : $"calibrated {at(record.At)} by {record.By}, due again {at(record.Due)}"));
        }

        if (trail.Station.Sensors.TankConductivity is null) yield break;
        yield return new("probes in one cup", trail.GainRatio switch
        {
            null => NotRead,
            1 => "not matched as the run began",
            var ratio => $"matched as the run began, ratio {ratio:0.0000}",
        });
    }

    /// <summary>A drop's volume bears on a run where drops are counted, and how two probes agree where there are two.</summary>
    internal static bool Bears(Station station, string key) => key.StartsWith("drip.", StringComparison.Ordinal) ? station.Sensors.DropCounterLine is not null
        : !key.StartsWith("probes.", StringComparison.Ordinal) || station.Sensors.TankConductivity is not null;

    private static StationView View(RunTrail trail, TimeZoneInfo zone) => new()
    {
        Name = trail.Station.Name,
        Now = TimeZoneInfo.ConvertTime(trail.Last ?? default, zone),
        Zone = zone,
        NowSeconds = trail.LastSeconds,
        Sentence = "",
        Phase = Words.Of(trail.State.Phase),
        History = trail.History,
        ToleranceMicrosiemensPerCm = trail.State.Run?.Prior.ToleranceMicrosiemensPerCm,
        EvenByShare = ViewMaker.ShareOf(trail.State),
        MarkLitres = trail.Station.Vessel.BrimLitres - trail.Station.Vessel.FreeboardLitres,
        BrimLitres = trail.Station.Vessel.BrimLitres,
        NowWord = trail.Ended is null ? "now" : "end",
    };

    private static string Measured(double? value, string unit) => value is { } known ? $"{Number(known)} {unit}".TrimEnd() : "not measured";

    private static string Counted(int? number) => number?.ToString(CultureInfo.InvariantCulture) ?? "not counted";

    private static string Number(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);
}
