using System.Text.Json;
using System.Text.Json.Serialization;

namespace Evenwater.Core.Keeping;

/// <summary>The kinds of notes by name, and what each may carry.</summary>
public static class NoteKinds
{
    private static readonly string[] Doses = ["mL", "g", "mg", "drops", "tablets", "pieces"];
    private static readonly string[] Foods = ["portions", "g", "mg", "mL", "pieces", "cubes"];
    private static readonly string[] Lights = ["h", "%"];
    private static readonly string[] Counts = ["animals"];

    /// <summary>Every kind, in the order that a keeper is told them.</summary>
    public static IReadOnlyList<NoteKind> All { get; } = [.. Enum.GetValues<NoteKind>().Where(kind => kind != NoteKind.None)];

    /// <summary>The kind's name, such as water-change.</summary>
    public static string Name(NoteKind kind) => JsonNamingPolicy.KebabCaseLower.ConvertName(kind.ToString());

    /// <summary>The kind of that name; <see cref="NoteKind.None"/> for any other text.</summary>
    public static NoteKind Named(string? name) => All.FirstOrDefault(kind => Name(kind) == name);

    /// <summary>Whether litres may be told with it.</summary>
    public static bool HasLitres(NoteKind kind) => kind is NoteKind.WaterChange or NoteKind.TopOff;

    /// <summary>The units of an amount that may be told with it; none where it has no amount.</summary>
    public static IReadOnlyList<string> Units(NoteKind kind) => kind switch
    {
        NoteKind.Dose or NoteKind.Medication => Doses,
        NoteKind.Feed => Foods,
        NoteKind.LightChange => Lights,
        NoteKind.NewAnimals => Counts,
        _ => [],
    };

    /// <summary>The command that writes it, for kinds that hold more than text and an amount; null for all others.</summary>
    public static string? OwnCommand(NoteKind kind) => kind switch
    {
        NoteKind.Arrival or NoteKind.Outcome => "arrival",
        NoteKind.Calibration => "calibrate",
        _ => null,
    };
}

/// <summary>Writes a kind by its name, whatever the options say of other enumerations.</summary>
internal sealed class NoteKindName() : JsonStringEnumConverter<NoteKind>(JsonNamingPolicy.KebabCaseLower, allowIntegerValues: false);
