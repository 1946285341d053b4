namespace Evenwater.Core.Stations;

/// <summary>One thing that is wrong with a station file.</summary>
/// <param name="Key">Path of the key, such as vessel.brimLitres.</param>
/// <param name="Value">What was given.</param>
/// <param name="Allowed">What is allowed, with unit.</param>
/// <param name="Advice">What to do.</param>
public readonly record struct Problem(string Key, string Value, string Allowed, string Advice)
{
    /// <summary>Line of the file, from 1; null when it did not come from one.</summary>
    public int? Line { get; init; }

    /// <summary>The whole problem as one line of text.</summary>
    public override string ToString()
        => $"{Key}{(Line is { } line ? $" (line {line})" : "")}: {Value}. Allowed: {Allowed}. {Advice}";
}
