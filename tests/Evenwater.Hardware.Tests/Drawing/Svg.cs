using System.Globalization;
using System.Net;
using System.Text;

namespace Evenwater.HardwareTests.Drawing;

/// <summary>Writes a sheet as SVG. The same sheet gives the same bytes.</summary>
internal static class Svg
{
    private const string Style =
        "path,rect,circle{fill:none;stroke:#111;stroke-width:1.6}.full{fill:#111}.empty{fill:#fff}.joint{stroke:#777}"
        + ".frame{stroke:#888;stroke-dasharray:6 4}text{font:12px sans-serif;fill:#111}.small{font-size:11px;fill:#444}";

    public static string Of(Sheet sheet)
    {
        var svg = new StringBuilder();
        svg.Append(CultureInfo.InvariantCulture, $"""
            <svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {sheet.Size.X} {sheet.Size.Y}" role="img" aria-labelledby="t d">
            <title id="t">{Safe(sheet.Title)}</title>
            <desc id="d">{Safe(Described(sheet))}</desc>
            <style>{Style}</style>
            <rect x="0" y="0" width="{sheet.Size.X}" height="{sheet.Size.Y}" style="fill:#fff;stroke:none"/>

            """);
        foreach (var frame in sheet.Frames)
        {
            svg.Append(CultureInfo.InvariantCulture, $"""<rect class="frame" x="{frame.Corner.X}" y="{frame.Corner.Y}" width="{frame.Width}" height="{frame.Height}"/>""");
            svg.Append(Text(frame.Corner.X + 6, frame.Corner.Y + frame.Height - 8, "start", frame.Words, small: true));
        }

        foreach (var wire in sheet.Wires)
        {
            svg.Append(CultureInfo.InvariantCulture, $"<path d=\"M{string.Join('L', wire.Select(p => $"{p.X} {p.Y}"))}\"/>\n");
        }

        foreach (var dot in Joints.Dots(sheet))
        {
            svg.Append(CultureInfo.InvariantCulture, $"<circle cx=\"{dot.X}\" cy=\"{dot.Y}\" r=\"3\" class=\"full\"/>\n");
        }

        foreach (var placed in sheet.Parts)
        {
            Append(svg, placed);
        }

        foreach (var port in sheet.Ports)
        {
            svg.Append(CultureInfo.InvariantCulture, $"<path d=\"M{port.At.X} {port.At.Y}H{port.At.X + (port.Side == "left" ? 20 : -20)}\"/><circle class=\"empty\" cx=\"{port.At.X}\" cy=\"{port.At.Y}\" r=\"4\"/>\n");
            svg.Append(port.Side == "left" ? Text(port.At.X - 6, port.At.Y + 20, "start", port.Words, small: false) : Text(port.At.X + 10, port.At.Y + 4, "start", port.Words, small: false));
        }

        foreach (var (at, words) in sheet.Notes)
        {
            svg.Append(Text(at.X, at.Y, "start", words, small: true));
        }

        return svg.Append("</svg>\n").ToString();
    }

    /// <summary>3.3k as 3.3 kΩ, 0.68u as 0.68 µF.</summary>
    private static string Value(Placed placed) => placed.Words.Length > 0 ? placed.Words : placed.Part.Kind switch
    {
        "resistor" => placed.Part.Value.Replace("k", " k", StringComparison.Ordinal).Replace("meg", " M", StringComparison.Ordinal) + (char.IsAsciiDigit(placed.Part.Value[^1]) ? " Ω" : "Ω"),
        "capacitor" => placed.Part.Value.Replace("u", " µF", StringComparison.Ordinal).Replace("n", " nF", StringComparison.Ordinal).Replace("p", " pF", StringComparison.Ordinal),
        _ => "",
    };

    private static string Described(Sheet sheet) => string.Join("; ", sheet.Parts.Select(placed =>
        $"{Name(placed)} {Value(placed)}".Trim() + " between " + string.Join(", ", placed.Part.Nodes)));

    /// <summary>The netlist's X only says that a part is made of others.</summary>
    private static string Name(Placed placed) => placed.Part.Name[0] == 'X' ? placed.Part.Name[1..] : placed.Part.Name;

    private static void Append(StringBuilder svg, Placed placed)
    {
        var (x, y) = (placed.Centre.X, placed.Centre.Y);
        svg.Append(CultureInfo.InvariantCulture, $"""<g transform="translate({x} {y}) rotate({Symbols.Degrees(placed.Turn)})">{Symbols.Shape(placed.Part.Kind)}</g>""");
        var transistor = placed.Part.Kind is "npn" or "mosfet";
        var above = placed.Part.Kind is "amplifier" or "commutator" ? 44 : 16;
        if (transistor || placed.Turn is "up" or "down")
        {
            svg.Append(Text(x + (transistor ? 28 : 16), y - 3, "start", Name(placed), small: false));
            svg.Append(Text(x + (transistor ? 28 : 16), y + 12, "start", Value(placed), small: true));
        }
        else
        {
            svg.Append(Text(x, y - above, "middle", Name(placed), small: false));
            svg.Append(Text(x, y + 26, "middle", Value(placed), small: true));
        }
    }

    private static string Text(int x, int y, string anchor, string words, bool small) => words.Length == 0 ? "" : string.Create(
        CultureInfo.InvariantCulture, $"<text x=\"{x}\" y=\"{y}\" text-anchor=\"{anchor}\"{(small ? " class=\"small\"" : "")}>{Safe(words)}</text>\n");

    private static string Safe(string words) => WebUtility.HtmlEncode(words);
}
