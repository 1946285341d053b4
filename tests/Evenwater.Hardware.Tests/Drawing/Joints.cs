namespace Evenwater.HardwareTests.Drawing;

/// <summary>Which pins a drawing joins, found from its geometry alone.</summary>
internal static class Joints
{
    /// <summary>
    /// The nets of a drawing: each a set of "PART.PIN", pins counted from 1, and of ports by name. Two things are joined when an end or corner of a line,
    /// a pin or a port lies on a line or on each other.
    /// </summary>
    public static IReadOnlyList<IReadOnlySet<string>> Of(Sheet sheet)
    {
        var groups = new List<(HashSet<string> Names, List<Spot> Spots, List<(Spot A, Spot B)> Lines)>();
        foreach (var wire in sheet.Wires)
        {
            groups.Add(([], [.. wire], [.. wire.Zip(wire.Skip(1))]));
        }

        foreach (var placed in sheet.Parts)
        {
            groups.AddRange(placed.Pins.Select((pin, i) => (new HashSet<string> { $"{placed.Part.Name}.{i + 1}" }, new List<Spot> { pin }, new List<(Spot, Spot)>())));
        }

        groups.AddRange(sheet.Ports.Select(port => (new HashSet<string> { port.Net }, new List<Spot> { Touch(sheet, port) }, new List<(Spot, Spot)>())));
        for (var merged = true; merged;)
        {
            merged = false;
            for (var i = 0; i < groups.Count && !merged; i++)
            {
                for (var j = i + 1; j < groups.Count && !merged; j++)
                {
                    if (Meet(groups[i], groups[j]))
                    {
                        groups[i].Names.UnionWith(groups[j].Names);
                        groups[i].Spots.AddRange(groups[j].Spots);
                        groups[i].Lines.AddRange(groups[j].Lines);
                        groups.RemoveAt(j);
                        merged = true;
                    }
                }
            }
        }

        return [.. groups.Select(group => group.Names)];
    }

    /// <summary>The same of a netlist.</summary>
    public static IReadOnlyList<IReadOnlySet<string>> Of(Circuit.Netlist netlist) =>
    [
        .. netlist.Parts
            .SelectMany(part => part.Nodes.Select((net, i) => (net, name: $"{part.Name}.{i + 1}")))
            .Concat(netlist.Ports.Select(port => (net: port, name: port)))
            .GroupBy(pair => pair.net, pair => pair.name)
            .Select(group => group.ToHashSet()),
    ];

    /// <summary>Where three or more lines or pins come together: a dot is drawn there.</summary>
    public static IEnumerable<Spot> Dots(Sheet sheet)
    {
        var lines = sheet.Wires.SelectMany(wire => wire.Zip(wire.Skip(1))).ToList();
        var ends = lines.SelectMany(line => new[] { line.First, line.Second }).Concat(sheet.Parts.SelectMany(part => part.Pins)).ToList();
        return ends.Distinct().Where(spot => ends.Count(end => end == spot) + (2 * lines.Count(line => Inside(spot, line))) > 2);
    }

    private static Spot Touch(Sheet sheet, Port port)
    {
        // A port's flag stands 20 px from the pin that it names.
        var pins = sheet.Parts.SelectMany(part => part.Pins).Where(pin => Math.Abs(pin.X - port.At.X) + Math.Abs(pin.Y - port.At.Y) <= 20).ToList();
        return pins.Count == 1 ? pins[0] : throw new FormatException($"{sheet.File}: port {port.Net} stands beside {pins.Count} pins");
    }

    private static bool Meet(
        (HashSet<string> Names, List<Spot> Spots, List<(Spot A, Spot B)> Lines) a, (HashSet<string> Names, List<Spot> Spots, List<(Spot A, Spot B)> Lines) b) =>
        a.Spots.Any(b.Spots.Contains) || a.Spots.Any(spot => b.Lines.Any(line => Inside(spot, line))) || b.Spots.Any(spot => a.Lines.Any(line => Inside(spot, line)));

    private static bool Inside(Spot p, (Spot A, Spot B) line)
    {
        var (a, b) = line;
        return (a.X == b.X && p.X == a.X && (p.Y - a.Y) * (p.Y - b.Y) < 0) || (a.Y == b.Y && p.Y == a.Y && (p.X - a.X) * (p.X - b.X) < 0);
    }
}
