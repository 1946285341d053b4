namespace Evenwater.HardwareTests.Drawing;

/// <summary>How a part looks, drawn with its pins 30 px left and right of its centre, and then turned.</summary>
internal static class Symbols
{
    private static readonly Dictionary<string, string> Shapes = new()
    {
        ["resistor"] = """<path d="M-30 0H-18M18 0H30"/><rect x="-18" y="-7" width="36" height="14"/>""",
        ["capacitor"] = """<path d="M-30 0H-4M4 0H30M-4 -13V13M4 -13V13"/>""",
        ["diode"] = """<path d="M-30 0H-9M9 0H30M9 -10V10"/><path class="full" d="M-9 -10V10L9 0Z"/>""",
        ["wire"] = """<path d="M-30 0H-6M6 0H30"/><path d="M-6 -6V6M6 -6V6M-6 0H6" class="joint"/>""",
        ["fuse"] = """<path d="M-30 0H30"/><rect x="-18" y="-6" width="36" height="12" class="empty"/>""",
        ["float"] = """<path d="M-30 0H-16M16 0H30M-16 0L18 -6M16 0V-6"/><circle cx="-16" cy="0" r="3" class="full"/>""",
        ["coil"] = """<path d="M-30 0H-24M24 0H30M-24 0A8 8 0 0 1 -8 0A8 8 0 0 1 8 0A8 8 0 0 1 24 0"/>""",
        ["npn"] = """<path d="M-30 0H-4M-4 -14V14M-4 -6L20 -18V-30M-4 6L20 18V30"/><path class="full" d="M20 18L9 18L13 9Z"/>""",
        ["mosfet"] = """<path d="M-30 0H-8M-8 -14V14M-2 -18V-8M-2 -4V4M-2 8V18M-2 -13H20V-30M-2 13H20V30M-2 0H20V13"/><path class="full" d="M-2 0L8 -5V5Z"/>""",
        ["reference"] = """<path d="M-30 0H-3M3 0H30M-3 -6V6M3 -14V14"/>""",
        ["clock"] = """<path d="M-30 0H-14M14 0H30"/><circle cx="0" cy="0" r="14"/><path d="M-5 -8H5V0H-5V8H5"/>""",
        ["commutator"] = """
            <path d="M-30 -20H-20M-30 20H-20M20 -20H30M20 20H30M-10 40V50M10 40V50"/><rect x="-20" y="-40" width="40" height="80"/><path d="M-20 -20H20M-20 20H20"/><path d="M-20 -20L20 20M-20 20L20 -20" class="joint"/>
            """,
        ["amplifier"] = """<path d="M-30 -20H-20M-30 20H-20M22 0H30"/><path class="empty" d="M-20 -34V34L24 0Z"/><path d="M-15 -20H-7M-15 20H-7M-11 16V24"/>""",
    };

    /// <summary>The symbol's lines, not turned.</summary>
    public static string Shape(string kind) => Shapes.TryGetValue(kind, out var shape) ? shape : throw new ArgumentException($"no symbol for a {kind}");

    /// <summary>How far a turn turns, in degrees.</summary>
    public static int Degrees(string turn) => turn switch
    {
        "right" => 0,
        "down" => 90,
        "left" => 180,
        "up" => 270,
        _ => throw new ArgumentException($"{turn} is not right, down, left or up"),
    };

    /// <summary>Where the pins are, in the netlist's order: for transistors collector, base, emitter or drain, gate, source; for an amplifier inverting, straight, out.</summary>
    public static IReadOnlyList<Spot> Pins(string kind, Spot centre, string turn)
    {
        (int X, int Y)[] plain = kind switch
        {
            "npn" or "mosfet" => [(20, -30), (-30, 0), (20, 30)],
            "amplifier" => [(-30, -20), (-30, 20), (30, 0)],
            "commutator" => [(-30, -20), (-30, 20), (30, -20), (30, 20), (-10, 50), (10, 50)],
            _ => [(-30, 0), (30, 0)],
        };
        return [.. plain.Select(pin => Degrees(turn) switch
        {
            0 => new Spot(centre.X + pin.X, centre.Y + pin.Y),
            90 => new Spot(centre.X - pin.Y, centre.Y + pin.X),
            180 => new Spot(centre.X - pin.X, centre.Y - pin.Y),
            _ => new Spot(centre.X + pin.Y, centre.Y - pin.X),
        })];
    }
}
