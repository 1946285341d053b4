using Evenwater.Core.Keeping;

namespace Evenwater.Page.Journal;

/// <summary>Which fields a kind of note has in forms, and what the kinds are called there.</summary>
public static class KindFields
{
    /// <summary>The kinds that are written on the journal page, those that are noted most first. What is more than a few fields has a page or a command of its own.</summary>
    public static IReadOnlyList<NoteKind> Quick { get; } =
    [
        NoteKind.WaterChange, NoteKind.TopOff, NoteKind.Feed, NoteKind.Dose, NoteKind.Test, NoteKind.Observation, NoteKind.FilterClean, NoteKind.ProbeClean, NoteKind.Trim,
        NoteKind.NewAnimals, NoteKind.Medication, NoteKind.LightChange, NoteKind.Move, NoteKind.Trouble, NoteKind.Other,
    ];

    /// <summary>A kind as people read it, such as "Water change".</summary>
    public static string Title(NoteKind kind)
    {
        var name = NoteKinds.Name(kind).Replace('-', ' ');
        return char.ToUpperInvariant(name[0]) + name[1..];
    }

    /// <summary>The field of a form that a rule's key is about.</summary>
    public static string Field(string key) => key switch
    {
        "test.step" => "step",
        "trouble.name" => "troubleName",
        "trouble.of" => "troubleOf",
        "photographs" => "photograph",
        _ when key.StartsWith("test.", StringComparison.Ordinal) => "value",
        _ when key.StartsWith("observation.", StringComparison.Ordinal) => "sightStep",
        _ => key,
    };
}
