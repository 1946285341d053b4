using Evenwater.Hardware.Rig;
using Evenwater.HardwareTests.Circuit;

namespace Evenwater.HardwareTests.Failures;

/// <summary>One row of hardware/fmea.csv.</summary>
internal sealed record Failure(
    int Line, string Part, string What, string Effect, string DetectedBy, string FirstLayer, string SecondLayer, string Claim, string RehearsedAs,
    IReadOnlyList<string> Tests)
{
    public const string InProgram = "simulated in the program's tests";
    public const string InCircuit = "simulated in the circuit";
    public const string NeverBuilt = "never built";

    private const string NotRehearsed = "not: ";
    private const int ShortestReason = 10;

    private const string Header = "part,failure,effect,detected by,first layer,second layer,claim,rehearsed as,tests";

    /// <summary>The layers, as hardware/README.md names them.</summary>
    public static IReadOnlyList<string> Layers { get; } = ["intake", "valve", "float", "driver", "program", "catch"];

    /// <summary>The faults of the rig that a rehearsed night of this row has, without their moments; none when it cannot be rehearsed.</summary>
    public IEnumerable<string> RehearsedWords => RehearsedAs.StartsWith(NotRehearsed, StringComparison.Ordinal)
        ? []
        : RehearsedAs.Split(' ', StringSplitOptions.RemoveEmptyEntries).Where(word => word != "or").Select(word => word.Split('@')[0]);

    /// <summary>Reads the table; no field has a comma.</summary>
    public static IReadOnlyList<Failure> ReadAll() => Parse(HardwareFolder.Text("fmea.csv"));

    public static IReadOnlyList<Failure> Parse(string csv)
    {
        var lines = csv.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(Header, lines[0]);
        return [.. lines.Skip(1).Select((line, i) => line.Split(',') is { Length: 9 } f
            ? new Failure(i + 2, f[0], f[1], f[2], f[3], f[4], f[5], f[6], f[7], f[8].Split(' ', StringSplitOptions.RemoveEmptyEntries))
            : throw new FormatException($"fmea.csv, line {i + 2}: {line.Split(',').Length} fields, 9 are needed"))];
    }

    /// <summary>What is wrong with the row; empty when nothing is.</summary>
    public IEnumerable<string> Problems(IReadOnlySet<string> known)
    {
        if (new[] { Part, What, Effect, DetectedBy }.Any(field => field.Length == 0))
        {
            yield return $"line {Line}: an empty field";
        }

        foreach (var layer in new[] { FirstLayer, SecondLayer }.Where(layer => !Layers.Contains(layer)))
        {
            yield return $"line {Line}: there is no layer \"{layer}\"";
        }

        if (RehearsedAs.StartsWith(NotRehearsed, StringComparison.Ordinal) ? RehearsedAs.Length < NotRehearsed.Length + ShortestReason : !RehearsedWords.Any())
        {
            yield return $"line {Line}: neither rehearsed nor \"{NotRehearsed}\" and a reason";
        }

        foreach (var word in RehearsedWords.Where(word => !RigFault.Names.Contains(word)))
        {
            yield return $"line {Line}: there is no fault {word}";
        }

        if (FirstLayer == SecondLayer)
        {
            yield return $"line {Line}: the second layer is the first, {FirstLayer}";
        }

        if ((FirstLayer, SecondLayer) is ("program", "driver") or ("driver", "program"))
        {
            yield return $"line {Line}: the program closes only through its driver: they are not two layers";
        }

        foreach (var test in Tests.Where(test => !known.Contains(test)))
        {
            yield return $"line {Line}: there is no test {test}";
        }

        var circuit = Tests.Count(test => test.StartsWith("Evenwater.HardwareTests.Circuit.", StringComparison.Ordinal));
        var right = Claim switch
        {
            InProgram => Tests.Count > circuit,
            InCircuit => circuit > 0 && FirstLayer is not "intake" and not "catch",
            NeverBuilt => Tests.Count == 0,
            _ => false,
        };
        if (!right)
        {
            yield return $"line {Line}: \"{Claim}\" with {Tests.Count} tests, {circuit} of them of the circuit, and {FirstLayer} as first layer";
        }
    }
}
