using System.Globalization;

namespace Evenwater.Core.Stations;

/// <summary>Collects what is wrong, in the order it is found.</summary>
internal sealed class Findings
{
    private readonly List<Problem> _problems = [];

    public IReadOnlyList<Problem> Problems => _problems;

    /// <summary>A number must lie within its range; NaN never does.</summary>
    public void Within(string key, double value, double min, double max, string unit, string advice)
    {
        if (!(value >= min && value <= max))
            Add(key, Text(value), $"{Text(min)} to {Text(max)} {unit}", advice);
    }

    /// <summary>The same for a number that may be left out.</summary>
    public void WithinIfGiven(string key, double? value, double min, double max, string unit, string advice)
    {
        if (value is { } given) Within(key, given, min, max, unit, advice);
    }

    /// <summary>A condition between values must hold.</summary>
    public void Require(bool holds, string key, double? value, string allowed, string advice)
    {
        if (!holds) Add(key, Text(value), allowed, advice);
    }

    /// <summary>A condition on text must hold.</summary>
    public void Require(bool holds, string key, string? value, string allowed, string advice)
    {
        if (!holds) Add(key, value is null ? "not given" : $"\"{value}\"", allowed, advice);
    }

    /// <summary>What is wrong with a part, if anything, told as of that part where it has a name.</summary>
    public void Take(string? part, Problem? problem)
    {
        if (problem is { } found) _problems.Add(part is null ? found : found with { Key = $"{part}.{found.Key}" });
    }

    public static string Text(double? value)
        => value is { } given ? given.ToString("0.######", CultureInfo.InvariantCulture) : "not given";

    private void Add(string key, string value, string allowed, string advice) => _problems.Add(new Problem(key, value, allowed, advice));
}
