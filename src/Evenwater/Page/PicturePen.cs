using System.Text;
using System.Xml;

namespace Evenwater.Page;

/// <summary>Writes SVG elements; well formed because an XML writer does it. Looks come from classes in picture.css.</summary>
internal sealed class PicturePen : IDisposable
{
    private const string Svg = "http://www.w3.org/2000/svg";
    private readonly StringBuilder _text = new(16_384);
    private readonly XmlWriter _xml;

    public PicturePen() => _xml = XmlWriter.Create(_text, new XmlWriterSettings { OmitXmlDeclaration = true, ConformanceLevel = ConformanceLevel.Fragment });

    public PicturePen Open(string element, params ReadOnlySpan<(string Name, string Value)> attributes)
    {
        _xml.WriteStartElement(element, Svg);
        foreach (var (name, value) in attributes) _xml.WriteAttributeString(name, value);
        return this;
    }

    public void Close() => _xml.WriteEndElement();

    public void Words(string element, string id, string words)
    {
        Open(element, ("id", id));
        _xml.WriteString(Plain.Line(words));
        Close();
    }

    public void Text(double x, double y, string words, string look, string anchor = "start")
    {
        Open("text", ("x", Pixel(x)), ("y", Pixel(y)), ("class", look), ("text-anchor", anchor));
        _xml.WriteString(Plain.Line(words));
        Close();
    }

    public void Line(double x1, double y1, double x2, double y2, string look)
    {
        Open("line", ("x1", Pixel(x1)), ("y1", Pixel(y1)), ("x2", Pixel(x2)), ("y2", Pixel(y2)), ("class", look));
        Close();
    }

    public void Dot(double x, double y, double radius, string look)
    {
        Open("circle", ("cx", Pixel(x)), ("cy", Pixel(y)), ("r", Pixel(radius)), ("class", look));
        Close();
    }

    public void Curve(IReadOnlyList<(double X, double Y)> points, string look)
    {
        if (points.Count < 2) return;
        Open("polyline", ("points", Joined(points)), ("class", look));
        Close();
    }

    /// <summary>The area between two curves over the same abscissae.</summary>
    public void Area(IReadOnlyList<(double X, double Low, double High)> band, string look, string? fill = null)
    {
        if (band.Count < 2) return;
        var outline = band.Select(b => (b.X, b.High)).Concat(band.Reverse().Select(b => (b.X, b.Low))).ToList();
        Open("polygon", ("points", Joined(outline)), ("class", look));
        if (fill is not null) _xml.WriteAttributeString("fill", fill);
        Close();
    }

    public static string Pixel(double x) => double.IsFinite(x)
        ? Math.Round(x, 1).ToString("0.#")
        : throw new ArgumentOutOfRangeException(nameof(x), x, "a place in the picture is finite");

    public override string ToString()
    {
        _xml.Flush();
        return _text.ToString();
    }

    public void Dispose() => _xml.Dispose();

    private static string Joined(IEnumerable<(double X, double Y)> points) => string.Join(' ', points.Select(p => $"{Pixel(p.X)},{Pixel(p.Y)}"));
}
