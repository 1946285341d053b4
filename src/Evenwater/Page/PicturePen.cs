using System.Text;

namespace Evenwater.Page;

/// <summary>
/// Writes SVG elements, each closed by its own name and every text escaped. Looks come from classes in picture.css.
/// By hand, because the library's XML writer would be 3 MB of resident code for these few lines.
/// </summary>
internal sealed class PicturePen
{
    private const string Svg = "http://www.w3.org/2000/svg";
    private readonly StringBuilder _text = new(16_384);
    private readonly Stack<string> _open = new();
    private bool _inTag;

    /// <summary>Begins an element. Its name and the attributes' names are the program's own words; the values may be anything.</summary>
    public void Open(string element, params ReadOnlySpan<(string Name, string Value)> attributes)
    {
        EndTag();
        _text.Append('<').Append(element);
        _inTag = true;
        if (_open.Count == 0) Attribute("xmlns", Svg);
        _open.Push(element);
        foreach (var (name, value) in attributes) Attribute(name, value);
    }

    /// <summary>Ends the element begun last.</summary>
    public void Close()
    {
        var element = _open.Pop();
        if (_inTag) _text.Append("/>");
        else _text.Append("</").Append(element).Append('>');
        _inTag = false;
    }

    public void Words(string element, string id, string words)
    {
        Open(element, ("id", id));
        Write(words);
        Close();
    }

    public void Text(double x, double y, string words, string look, string anchor = "start")
    {
        Open("text", ("x", Pixel(x)), ("y", Pixel(y)), ("class", look), ("text-anchor", anchor));
        Write(words);
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
        if (fill is not null) Attribute("fill", fill);
        Close();
    }

    public static string Pixel(double x) => double.IsFinite(x)
        ? Math.Round(x, 1).ToString("0.#")
        : throw new ArgumentOutOfRangeException(nameof(x), x, "a place in the picture is finite");

    public override string ToString() => _text.ToString();

    private void Attribute(string name, string value) => _text.Append(' ').Append(name).Append("=\"").Append(Escaped(value)).Append('"');

    private void Write(string words)
    {
        EndTag();
        _text.Append(Escaped(words));
    }

    private void EndTag()
    {
        if (_inTag) _text.Append('>');
        _inTag = false;
    }

    /// <summary>XML 1.0, section 2.4: ampersand and less-than never as they are; the quote because we quote with it.</summary>
    private static string Escaped(string text) =>
        Plain.Line(text).Replace("&", "&amp;", StringComparison.Ordinal).Replace("<", "&lt;", StringComparison.Ordinal)
            .Replace(">", "&gt;", StringComparison.Ordinal).Replace("\"", "&quot;", StringComparison.Ordinal);

    private static string Joined(IEnumerable<(double X, double Y)> points) => string.Join(' ', points.Select(p => $"{Pixel(p.X)},{Pixel(p.Y)}"));
}
