using System.CommandLine;
using Evenwater.Control;
using Evenwater.Core.Keeping;
using Evenwater.Keeping;

namespace Evenwater.Commands;

/// <summary>evenwater arrival: what came, in what water, and how it fared.</summary>
internal static class ArrivalCommand
{
    public static Command Create()
    {
        var station = AskCommands.Station();
        var add = new Option<string?>("--add") { Description = "note an arrival: which animals, in your words", HelpName = "SPECIES" };
        var correct = new Option<string?>("--correct") { Description = "an arrival or outcome in place of this note; what is not said again is taken over", HelpName = "ID" };
        var outcome = new Option<string?>("--outcome") { Description = "note how they are: release, 24h or 7d", HelpName = "LOOK" };
        var of = new Option<string?>("--of") { Description = "with --outcome: of which arrival; if not said the one whose look is due, at a release the run's or the latest that was not let in", HelpName = "ID" };
        var count = new Option<int?>("--count") { Description = "how many came" };
        var grams = new Option<double?>("--grams") { Description = "all of them together, g, weighed or judged" };
        var group = new Option<string?>("--group") { Description = $"the kind that limits are known of: {string.Join(", ", AnimalGroups.All.Select(AnimalGroups.Name))}" };
        var hours = new Option<double?>("--hours") { Description = "from packing to opening, h" };
        var conductivity = new Option<double?>("--conductivity") { Description = "of the bag's water, µS/cm at 25 °C" };
        var temperature = new Option<double?>("--temperature") { Description = "of the bag's water, °C" };
        var ph = new Option<double?>("--ph") { Description = "of the bag's water, as it is opened" };
        var ammonia = new Option<double?>("--ammonia") { Description = "total ammonia in the bag, mg/L" };
        var nitrite = new Option<double?>("--nitrite") { Description = "nitrite in the bag, mg/L" };
        var alive = new Option<int?>("--alive") { Description = "with --outcome: how many live" };
        var dead = new Option<int?>("--dead") { Description = "with --outcome: how many have died until then" };
        var text = new Option<string?>("--text") { Description = "what else is to be said" };
        var at = new Option<string?>("--at") { Description = "when it was: 19:30 (today), 2026-03-14T19:30; now if not said", HelpName = "TIME" };
        var by = new Option<string?>("--by") { Description = "who writes; the user's name if not said", HelpName = "NAME" };
        var command = new Command("arrival", "What came, in what water, after how long, and how it fared at the release, after a day and after a week.")
        {
            station, add, correct, outcome, of, count, grams, group, hours, conductivity, temperature, ph, ammonia, nitrite, alive, dead, text, at, by,
        };
        command.SetAction((parse, _) => PenAndPaper.WithWordsAsync(() => RunAsync(parse.GetValue(station), new ArrivalAsk
        {
            Add = parse.GetValue(add), Correct = parse.GetValue(correct), Outcome = parse.GetValue(outcome), Of = parse.GetValue(of), Count = parse.GetValue(count),
            Grams = parse.GetValue(grams), Group = parse.GetValue(group), Hours = parse.GetValue(hours), Conductivity = parse.GetValue(conductivity), Temperature = parse.GetValue(temperature),
            Ph = parse.GetValue(ph), Ammonia = parse.GetValue(ammonia), Nitrite = parse.GetValue(nitrite), Alive = parse.GetValue(alive), Dead = parse.GetValue(dead),
            Text = parse.GetValue(text), At = parse.GetValue(at), By = parse.GetValue(by) ?? WhoAsks.Name,
        })));
        return command;
    }

    private static async Task<int> RunAsync(string? station, ArrivalAsk ask)
    {
        if (ask.Problem is { } problem)
        {
            return Exit.Wrong(problem);
        }

        var (book, name, unread) = PenAndPaper.Book(station, hasLog: false);
        if (!ask.Writes)
        {
            return book is null ? Exit.Wrong(unread!) : List(book, name!, PenAndPaper.Clock(name));
        }

        if (ask is { Outcome: "release", Of: null, Correct: null } && book is not null && (await AskCommands.AnswerAsync(new ControlAsk("release", name)))?.Arrival is { } own && Arrivals.Find(book, own) is { IsOpen: true })
        {
            ask = ask with { Of = own };
        }

        var (note, wrong) = ask.Note(book ?? Book.Of([]), (ask.At ?? ask.Outcome) is null ? TimeProvider.System : PenAndPaper.Clock(station));
        return note is null ? Exit.Wrong(wrong!) : await PenAndPaper.WriteAsync(station, note);
    }

    private static int List(Book book, string name, TimeProvider time)
    {
        var came = Arrivals.Of(book);
        foreach (var line in came.SelectMany(one => ArrivalText.Of(one, time.LocalTimeZone, time.GetUtcNow())))
        {
            Console.WriteLine(line);
        }

        return came.Count > 0 ? Exit.Fine : Exit.Tell(true, $"No arrival stands in the book of {name}.");
    }
}

/// <summary>What was asked about an arrival.</summary>
internal sealed record ArrivalAsk
{
    private static readonly Dictionary<string, Look> Looks = new() { ["release"] = Look.Release, ["24h"] = Look.Day, ["7d"] = Look.Week };

    public string? Add { get; init; }

    public string? Correct { get; init; }

    public string? Outcome { get; init; }

    public string? Of { get; init; }

    public int? Count { get; init; }

    public double? Grams { get; init; }

    public string? Group { get; init; }

    public double? Hours { get; init; }

    public double? Conductivity { get; init; }

    public double? Temperature { get; init; }

    public double? Ph { get; init; }

    public double? Ammonia { get; init; }

    public double? Nitrite { get; init; }

    public int? Alive { get; init; }

    public int? Dead { get; init; }

    public string? Text { get; init; }

    public string? At { get; init; }

    public required string By { get; init; }

    public bool Writes => (Add ?? Correct ?? Outcome) is not null;

    private bool TellsAnimals => Count is not null || Grams is not null || Group is not null || (Hours ?? Conductivity ?? Temperature ?? Ph ?? Ammonia ?? Nitrite) is not null;

    private bool TellsCount => Alive is not null || Dead is not null;

    /// <summary>What does not go together, or is none of the allowed; null when all is fine.</summary>
    public string? Problem => true switch
    {
        _ when Add is not null && (Outcome ?? Correct) is not null => "--add, --correct, --outcome: an arrival is added or corrected, or an outcome is noted. Say one of them.",
        _ when Outcome is not null && !Looks.ContainsKey(Outcome) => $"--outcome = {Outcome}: allowed are {string.Join(", ", Looks.Keys)}. Say which look it was.",
        _ when Add is not null && Count is null => "--count = (not said): allowed is 1 to 100000 animals. Say how many came.",
        _ when Group is not null && AnimalGroups.Named(Group) is null => $"--group = {Group}: allowed are {string.Join(", ", AnimalGroups.All.Select(AnimalGroups.Name))}. Choose the nearest, or leave it out.",
        _ when Outcome is not null && TellsAnimals => "--outcome: how many came and in what water stands in the arrival. Leave that out, or correct the arrival.",
        _ when Add is not null && (TellsCount || Of is not null) => "--alive, --dead, --of: go with --outcome. An arrival tells --count.",
        _ when !Writes && (TellsAnimals || TellsCount || (Of ?? Text ?? At) is not null) => "Say --add SPECIES for an arrival, --outcome LOOK for how they are, or --correct ID.",
        _ => null,
    };

    /// <summary>The note to write, or what is wrong.</summary>
    public (Note? Note, string? Problem) Note(Book book, TimeProvider time)
    {
        var former = Correct is { } id ? book.Find(id)?.Said : null;
        if (Correct is not null && former is not { Kind: NoteKind.Arrival or NoteKind.Outcome })
        {
            return (null, $"--correct = {Correct}: there is no arrival or outcome of that name. 'evenwater arrival' lists them; 'evenwater journal' corrects other notes.");
        }

        var (at, wrong) = At is { } told ? KeptTime.Read("--at", told, time.LocalTimeZone, time.GetUtcNow()) : (former?.At, null);
        if (wrong is not null)
        {
            return (null, wrong);
        }

        var isOutcome = Outcome is not null || former?.Kind == NoteKind.Outcome;
        var of = Of ?? former?.Outcome?.Arrival ?? (isOutcome ? Meant(book, time.GetUtcNow())?.Note.Id : null);
        if (isOutcome && of is null)
        {
            return (null, "--of = (not said): no arrival stands in the book. Note it first: 'evenwater arrival --add SPECIES --count N --at TIME'.");
        }

        var note = new Note { Kind = isOutcome ? NoteKind.Outcome : NoteKind.Arrival, Corrects = Correct, At = at, By = By, Text = Text ?? former?.Text ?? "" };
        return (isOutcome ? note with { Outcome = AsOutcome(former?.Outcome, of!) } : note with { Arrival = AsArrival(former?.Arrival) }, null);
    }

    /// <summary>Whose animals were looked at when nobody said it: at a release those that were not let in, at a look those whose look is due or else were let in last. Not simply the latest: new ones may be in their bag yet.</summary>
    private Came? Meant(Book book, DateTimeOffset now)
    {
        var all = Arrivals.Of(book);
        var look = Outcome is { } said ? Looks[said] : Look.Release;
        return (look == Look.Release ? all.LastOrDefault(came => came.IsOpen) : all.LastOrDefault(came => came.Due(now).Any(due => due.Look == look)) ?? all.LastOrDefault(came => !came.IsOpen)) ?? (all is [.., var last] ? last : null);
    }

    private OutcomeRecord AsOutcome(OutcomeRecord? former, string of) => new()
    {
        Arrival = of, Run = former?.Run, Look = Outcome is { } look ? Looks[look] : former!.Look, Alive = Alive ?? former?.Alive, Dead = Dead ?? former?.Dead,
    };

    private ArrivalRecord AsArrival(ArrivalRecord? former) => new()
    {
        Species = Add ?? former!.Species, Count = Count ?? former!.Count, Grams = Grams ?? former?.Grams, Group = AnimalGroups.Named(Group) ?? former?.Group,
        HoursInTransit = Hours ?? former?.HoursInTransit, MicrosiemensPerCm = Conductivity ?? former?.MicrosiemensPerCm, Celsius = Temperature ?? former?.Celsius, Ph = Ph ?? former?.Ph,
        TotalAmmoniaMilligramsPerLitre = Ammonia ?? former?.TotalAmmoniaMilligramsPerLitre, NitriteMilligramsPerLitre = Nitrite ?? former?.NitriteMilligramsPerLitre,
    };
}
