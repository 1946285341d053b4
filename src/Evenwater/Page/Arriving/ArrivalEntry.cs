using Evenwater.Core.Keeping;
using Evenwater.Page.Journal;

namespace Evenwater.Page.Arriving;

/// <summary>An arrival, or how its animals are, as it was typed. What may stand in it is for the record's own rules, whose keys are the fields' names.</summary>
internal static class ArrivalEntry
{
    /// <summary>The looks by their names in forms.</summary>
    public static IReadOnlyList<(string Name, Look Look, string Shown)> Looks { get; } = [("release", Look.Release, "at the release"), ("24h", Look.Day, "a day after it"), ("7d", Look.Week, "a week after it")];

    /// <summary>What came.</summary>
    public static Note Arrival(TypedForm typed, Note? former, TimeZoneInfo zone, DateTimeOffset now)
    {
        var group = AnimalGroups.Named(typed.Text("group"));
        if (group is null && typed.Text("group") is not null) typed.Refuse("group", string.Join(", ", AnimalGroups.All.Select(AnimalGroups.Name)), "Choose the nearest, or leave it out.");
        if (typed.Text("count") is null) typed.Refuse("count", "1 to 100000 animals", "Count them all.");
        return Common(typed, NoteKind.Arrival, former, zone, now) with
        {
            Arrival = new ArrivalRecord
            {
                Species = typed.Text("species") ?? "",
                Count = typed.Count("count", "1 to 100000 animals") ?? 0,
                Grams = typed.Number("grams", "above 0, to 1000000 g, all together"),
                Group = group,
                HoursInTransit = typed.Number("hours", "0 to 240 h"),
                MicrosiemensPerCm = typed.Number("conductivity", "0 to 250000 µS/cm at 25 °C"),
                Celsius = typed.Number("temperature", "-2 to 45 °C"),
                Ph = typed.Number("ph", "4 to 10"),
                TotalAmmoniaMilligramsPerLitre = typed.Number("ammonia", "0 to 200 mg/L"),
                NitriteMilligramsPerLitre = typed.Number("nitrite", "0 to 100 mg/L"),
            },
        };
    }

    /// <summary>How they are.</summary>
    public static Note Outcome(TypedForm typed, Note? former, TimeZoneInfo zone, DateTimeOffset now)
    {
        var look = Looks.FirstOrDefault(one => one.Name == typed.Text("look"));
        if (look.Name is null) typed.Refuse("look", string.Join(", ", Looks.Select(one => one.Name)), "Say which look it was.");
        return Common(typed, NoteKind.Outcome, former, zone, now) with
        {
            Outcome = new OutcomeRecord
            {
                Arrival = typed.Text("of"), Run = former?.Outcome?.Run, Look = look.Look,
                Alive = typed.Count("alive", "0 to 100000 animals"), Dead = typed.Count("dead", "0 to 100000 animals"),
            },
        };
    }

    /// <summary>The field that a rule's key is about.</summary>
    public static string Field(string key) => key switch
    {
        "alive, dead" => "dead",
        "photographs" => PhotographUpload.Field,
        _ => key,
    };

    private static Note Common(TypedForm typed, NoteKind kind, Note? former, TimeZoneInfo zone, DateTimeOffset now) => new()
    {
        Kind = kind, Corrects = former?.Id, At = NoteEntry.At(typed, former, zone, now), By = typed.Text("by") ?? "", Text = typed.Text("text") ?? "", Photographs = former?.Photographs,
    };
}
