using System.Globalization;
using Evenwater.HardwareTests.Circuit;

namespace Evenwater.HardwareTests.Drawing;

/// <summary>A point of the sheet, in pixels; y goes down.</summary>
internal readonly record struct Spot(int X, int Y);

/// <summary>A part on the sheet.</summary>
internal sealed record Placed(Part Part, Spot Centre, string Turn, string Words)
{
    /// <summary>Where its pins are, in the netlist's order.</summary>
    public IReadOnlyList<Spot> Pins => Symbols.Pins(Part.Kind, Centre, Turn);
}

/// <summary>A named port.</summary>
internal sealed record Port(string Net, Spot At, string Side, string Words);

/// <summary>A dashed frame.</summary>
internal sealed record Frame(Spot Corner, int Width, int Height, string Words);

/// <summary>A drawing of hardware/, as its source says: which part stands where, and which lines join them.</summary>
internal sealed class Sheet
{
    private Sheet(string file) => File = file;

    public string File { get; }

    public string Title { get; private set; } = "";

    public Spot Size { get; private set; }

    public Netlist Netlist { get; private set; } = null!;

    public List<Placed> Parts { get; } = [];

    public List<IReadOnlyList<Spot>> Wires { get; } = [];

    public List<Port> Ports { get; } = [];

    public List<Frame> Frames { get; } = [];

    public List<(Spot At, string Words)> Notes { get; } = [];

    /// <summary>Reads hardware/NAME.</summary>
    public static Sheet Read(string name) => Parse(name, HardwareFolder.Text(name));

    /// <summary>Reads a drawing's source.</summary>
    /// <exception cref="FormatException">A line that is not understood.</exception>
    public static Sheet Parse(string name, string source)
    {
        var sheet = new Sheet(name);
        foreach (var line in source.Split('\n').Where(line => line.Length > 0 && line[0] != '#'))
        {
            var f = line.Split(' ');
            try
            {
                sheet.Take(f);
            }
            catch (Exception wrong) when (wrong is FormatException or ArgumentException or InvalidOperationException)
            {
                throw new FormatException($"{name}: \"{line}\" is not understood: {wrong.Message}", wrong);
            }
        }

        return sheet;
    }

    private static int Number(string text) => int.Parse(text, CultureInfo.InvariantCulture);

    private static Spot Point(string x, string y) => new(Number(x), Number(y));

    private static string Rest(string[] fields, int from) => string.Join(' ', fields.Skip(from));

    private void Take(string[] f)
    {
        switch (f[0])
        {
            case "size": Size = Point(f[1], f[2]); break;
            case "netlist": Netlist = Netlist.Read(f[1]); break;
            case "title": Title = Rest(f, 1); break;
            case "place": Parts.Add(new Placed(Netlist.Of(f[1]), Point(f[2], f[3]), f[4], Rest(f, 5))); break;
            case "wire": Wires.Add([.. f.Skip(1).Select(p => p.Split(',')).Select(p => Point(p[0], p[1]))]); break;
            case "name": Ports.Add(new Port(f[1], Point(f[2], f[3]), f[4], Rest(f, 5))); break;
            case "box": Frames.Add(new Frame(Point(f[1], f[2]), Number(f[3]), Number(f[4]), Rest(f, 5))); break;
            case "note": Notes.Add((Point(f[1], f[2]), Rest(f, 3))); break;
            default: throw new FormatException("no such word");
        }
    }
}
