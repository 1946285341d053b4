namespace Evenwater.Page;

/// <summary>The names at the right edge, each beside its line, moved apart where they would touch.</summary>
internal sealed class PictureLabels
{
    private const double Apart = 15;
    private readonly List<(double Y, string Words, string Look)> _labels = [];

    public void Add(double y, string words, string look) => _labels.Add((y, words, look));

    public void Write(PicturePen pen, PictureFrame frame)
    {
        WriteIn(pen, frame, frame.Conductivity);
        WriteIn(pen, frame, frame.Volume);
    }

    private void WriteIn(PicturePen pen, PictureFrame frame, PictureScale rows)
    {
        var inside = _labels.Where(l => l.Y >= rows.PixelTo - 2 && l.Y <= rows.PixelFrom + 2).OrderBy(l => l.Y).ToArray();
        for (var i = 1; i < inside.Length; i++) inside[i].Y = Math.Max(inside[i].Y, inside[i - 1].Y + Apart);
        for (var i = inside.Length - 1; i >= 0; i--)
        {
            var lowest = i == inside.Length - 1 ? rows.PixelFrom : inside[i + 1].Y - Apart;
            inside[i].Y = Math.Min(inside[i].Y, lowest);
        }

        foreach (var (y, words, look) in inside) pen.Text(frame.Right + 6, y + 4, words, $"p-name {look}");
    }
}
