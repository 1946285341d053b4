namespace Evenwater.Nights.Faults;

/// <summary>One row of hardware/fmea.csv, as far as a rehearsal needs it.</summary>
internal sealed record FaultRow(string Part, string What, string FirstLayer, string SecondLayer, string Claim, string RehearsedAs)
{
    private const string NotRehearsed = "not: ";

    /// <summary>How the reports name it.</summary>
    public string Name => $"{Part}: {What}";

    /// <summary>Why it cannot be rehearsed, or null.</summary>
    public string? WhyNot => RehearsedAs.StartsWith(NotRehearsed, StringComparison.Ordinal) ? RehearsedAs[NotRehearsed.Length..] : null;

    /// <summary>What it does to a night; null when it cannot be rehearsed.</summary>
    public FaultScript? Script { get; } = RehearsedAs.StartsWith(NotRehearsed, StringComparison.Ordinal) ? null : FaultScript.Parse(RehearsedAs);

    /// <summary>The whole table.</summary>
    /// <exception cref="FormatException">A row without a rehearsal and without a reason, or a fault that there is not.</exception>
    public static IReadOnlyList<FaultRow> ReadAll() => Parse(File.ReadAllLines(Repository.Path("hardware", "fmea.csv")));

    public static IReadOnlyList<FaultRow> Parse(IReadOnlyList<string> lines)
    {
        var names = lines[0].Split(',').ToList();
        string[] wanted = ["part", "failure", "first layer", "second layer", "claim", "rehearsed as"];
        var places = wanted.Select(name => names.IndexOf(name) is >= 0 and var at ? at : throw new FormatException($"fmea.csv has no column \"{name}\"")).ToArray();
        return [.. lines.Skip(1).Where(line => line.Length > 0).Select((line, i) =>
        {
            var fields = line.Split(',');
            var f = places.Select(at => at < fields.Length ? fields[at] : "").ToArray();
            try
            {
                return new FaultRow(f[0], f[1], f[2], f[3], f[4], f[5]);
            }
            catch (FormatException e)
            {
                throw new FormatException($"fmea.csv, line {i + 2}: {e.Message}", e);
            }
        })];
    }
}
