using System.Text.RegularExpressions;

namespace Evenwater.HardwareTests.Circuit;

/// <summary>One part of a netlist.</summary>
/// <param name="Name">As the netlist writes it: R1, XW3, M1.</param>
/// <param name="Kind">Its symbol: resistor, capacitor, diode, npn, mosfet; of a subcircuit the subcircuit's name.</param>
/// <param name="Nodes">The nets at its pins, in the netlist's order; a MOSFET's bulk, which is its source, is left out.</param>
/// <param name="Value">Value or model.</param>
internal sealed record Part(string Name, string Kind, IReadOnlyList<string> Nodes, string Value);

/// <summary>A netlist of hardware/, as text that can be changed, and as parts.</summary>
internal sealed partial class Netlist
{
    private Netlist(string text) => Text = text;

    public string Text { get; }

    /// <summary>Reads hardware/NAME; what it includes is named by its full path, so that the text runs from anywhere.</summary>
    public static Netlist Read(string name) => new(Includes().Replace(
        HardwareFolder.Text(name).ReplaceLineEndings("\n"), match => $".include {HardwareFolder.Path(match.Groups[1].Value)}"));

    /// <summary>The ports of the one subcircuit.</summary>
    public IReadOnlyList<string> Ports => [.. Fields(Lines().Single(line => line.StartsWith(".subckt", StringComparison.Ordinal))).Skip(2)];

    /// <summary>All parts of the one subcircuit.</summary>
    public IReadOnlyList<Part> Parts => [.. Lines().Where(line => char.IsAsciiLetter(line[0])).Select(PartOf)];

    /// <summary>The same with one part's line replaced; by nothing, when it is left out.</summary>
    public Netlist With(string part, string line)
    {
        var pattern = new Regex($"^{Regex.Escape(part)} .*$", RegexOptions.Multiline);
        Assert.Single(pattern.Matches(Text));
        return new Netlist(pattern.Replace(Text, line.Length == 0 ? "*" : line));
    }

    /// <summary>The same with a part's two pins joined, and the part gone.</summary>
    public Netlist Short(string part) => With(part, $"Rshort{part} {Of(part).Nodes[0]} {Of(part).Nodes[1]} 10m");

    /// <summary>The same without the part: it has broken.</summary>
    public Netlist Open(string part) => With(part, "");

    /// <summary>The same with one line more.</summary>
    public Netlist Plus(string line) => new(Text.Replace(".ends", $"{line}\n.ends", StringComparison.Ordinal));

    public Part Of(string part) => Parts.Single(candidate => candidate.Name == part);

    private static Part PartOf(string line)
    {
        var fields = Fields(line);
        var (kind, pins) = line[0] switch
        {
            'R' => ("resistor", 2),
            'C' => ("capacitor", 2),
            'D' => ("diode", 2),
            'Q' => ("npn", 3),
            'M' => ("mosfet", 3),
            'X' => (fields[^1], fields.Count - 2),
            _ => throw new InvalidOperationException($"there is no symbol for {line}"),
        };
        return new Part(fields[0], kind, [.. fields.Skip(1).Take(pins)], fields[^1]);
    }

    private static List<string> Fields(string line) => [.. line.Split(' ', StringSplitOptions.RemoveEmptyEntries)];

    private IEnumerable<string> Lines() =>
        Text.Split('\n').SkipWhile(line => !line.StartsWith(".subckt", StringComparison.Ordinal)).Where(line => line.Length > 0);

    [GeneratedRegex(@"^\.include (\S+)$", RegexOptions.Multiline)]
    private static partial Regex Includes();
}
