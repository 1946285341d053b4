using System.Globalization;
using System.Text.Json;

namespace Evenwater.Hardware.Rig;

/// <summary>One thing that goes wrong, and when. It stays wrong.</summary>
/// <param name="Kind">What.</param>
/// <param name="AtSeconds">Seconds from the start of the night, 0 or more.</param>
public readonly record struct RigFault(FaultKind Kind, double AtSeconds)
{
    /// <summary>When a fault happens if nobody says: four hours in, about a third of a night.</summary>
    public const double DefaultAtSeconds = 4 * 3600;

    /// <summary>How long the power is gone.</summary>
    public const double PowerCutSeconds = 600;

    /// <summary>How deep the intake slips, mm: 28.8 L of the demo's tank, three times what its pail can take.</summary>
    public const double DeepIntakeMillimetres = 60;

    /// <summary>What a person pours in untold, L: more than the demo's first water again.</summary>
    public const double PouredLitres = 2.5;

    /// <summary>What a person draws off untold, or tells of without having drawn it, L.</summary>
    public const double HandLitres = 2;

    private static readonly (string Name, FaultKind Kind)[] Table = [.. Enum.GetValues<FaultKind>().Select(kind => (NameOf(kind), kind))];

    /// <summary>The names of all faults.</summary>
    public static IReadOnlyList<string> Names { get; } = [.. Table.Select(row => row.Name)];

    /// <summary>The fault's name.</summary>
    public string Name => NameOf(Kind);

    /// <summary>Reads NAME or NAME@TIME, where TIME is a number and s, m or h, such as siphon-surge@3h.</summary>
    /// <exception cref="FormatException">Unknown name or time; the message lists what there is.</exception>
    public static RigFault Parse(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var at = text.IndexOf('@', StringComparison.Ordinal);
        var name = at < 0 ? text : text[..at];
        var row = Array.Find(Table, candidate => candidate.Name == name);
        return row.Name is null
            ? throw new FormatException($"there is no fault \"{name}\"; there are {string.Join(", ", Names)}")
            : new RigFault(row.Kind, at < 0 ? DefaultAtSeconds : ParseTime(text[(at + 1)..]));
    }

    /// <inheritdoc/>
    public override string ToString() => $"{Name}@{AtSeconds}s";

    // The policy takes the figures for a part of the word before them.
    private static string NameOf(FaultKind kind) => kind == FaultKind.Thermometer85 ? "thermometer-85" : JsonNamingPolicy.KebabCaseLower.ConvertName(kind.ToString());

    private static double ParseTime(string text)
    {
        var unit = text.Length == 0 ? 0 : text[^1] switch { 's' => 1, 'm' => 60, 'h' => 3600, _ => 0 };
        return unit > 0
            && double.TryParse(text[..^1], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var number)
            && number * unit <= 7 * 24 * 3600
            ? number * unit
            : throw new FormatException($"\"{text}\" is not a time of a fault; write a number from 0 and s, m or h, at most 168h, such as 90m");
    }
}
