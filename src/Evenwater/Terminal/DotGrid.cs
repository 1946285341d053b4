namespace Evenwater.Terminal;

/// <summary>
/// A small raster of text cells, each two dots wide and four high, written as braille patterns (Unicode block U+2800, whose
/// dot order is fixed by the standard) or, where the terminal has no Unicode, as one character a cell.
/// </summary>
internal sealed class DotGrid(int columns, int rows, bool unicode)
{
    /// <summary>Dots in a cell from top to bottom.</summary>
    public const int DotsPerRow = 4;

    private static readonly int[,] s_bits = { { 0x01, 0x08 }, { 0x02, 0x10 }, { 0x04, 0x20 }, { 0x40, 0x80 } };
    private readonly int[,] _dots = new int[rows, columns];
    private readonly char[,] _marks = new char[rows, columns];

    public int Width { get; } = columns * 2;

    public int Height { get; } = rows * DotsPerRow;

    /// <summary>Sets one dot; outside the raster nothing happens.</summary>
    public void Set(double x, double y, char mark)
    {
        var (column, row) = ((int)Math.Round(x), (int)Math.Round(y));
        if (column < 0 || row < 0 || column >= Width || row >= Height) return;
        _dots[row / DotsPerRow, column / 2] |= s_bits[row % DotsPerRow, column % 2];
        _marks[row / DotsPerRow, column / 2] = mark;
    }

    /// <summary>A line through points ordered by x, without holes.</summary>
    public void Line(IReadOnlyList<(double X, double Y)> points, char mark)
    {
        for (var i = 1; i < points.Count; i++)
        {
            var (a, b) = (points[i - 1], points[i]);
            var steps = Math.Max(1, (int)Math.Ceiling(Math.Max(Math.Abs(b.X - a.X), Math.Abs(b.Y - a.Y))));
            for (var s = 0; s <= steps; s++) Set(a.X + ((b.X - a.X) * s / steps), a.Y + ((b.Y - a.Y) * s / steps), mark);
        }
    }

    /// <summary>Single dots, four apart, along points ordered by x.</summary>
    public void Sparse(IReadOnlyList<(double X, double Y)> points, char mark)
    {
        for (var i = 1; i < points.Count; i++)
        {
            var (a, b) = (points[i - 1], points[i]);
            for (var x = Math.Ceiling(a.X); x < b.X; x++)
            {
                if ((int)x % 4 == 0) Set(x, a.Y + ((b.Y - a.Y) * (x - a.X) / (b.X - a.X)), mark);
            }
        }
    }

    public string[] ToLines()
    {
        var lines = new string[rows];
        for (var r = 0; r < rows; r++)
        {
            var row = r;
            lines[r] = string.Create(columns, this, (span, grid) =>
            {
                for (var c = 0; c < span.Length; c++) span[c] = grid.Cell(row, c);
            });
        }

        return lines;
    }

    private char Cell(int row, int column) => (_dots[row, column], unicode) switch
    {
        (0, _) => ' ',
        (var dots, true) => (char)(0x2800 + dots),
        _ => _marks[row, column],
    };
}
