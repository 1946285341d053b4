using Evenwater.Page;

namespace Evenwater.Scoring;

/// <summary>Axes, grid and captions of a trace's picture.</summary>
internal static class TraceAxes
{
    private const double Hour = 3600;

    public static void Draw(PicturePen pen, TraceFrame frame)
    {
        Rows(pen, frame, frame.Water, "Conductivity, µS/cm at 25 °C", Values(frame.Water, 5));
        Rows(pen, frame, frame.Even, "When even: hour of the trace, as forecast at each moment", Hours(frame.Even, 5));
        Rows(pen, frame, frame.Mark, "When at the mark, likewise", Hours(frame.Mark, 5));
        Rows(pen, frame, frame.Level, "Water in the bucket, L", Values(frame.Level, 4));
        foreach (var (seconds, words) in Hours(frame.Time, 12))
        {
            var x = frame.Time.At(seconds);
            pen.Line(x, frame.Level.PixelFrom, x, frame.Level.PixelFrom + 5, "p-axis");
            pen.Text(x, frame.Level.PixelFrom + 19, words, "p-tick", "middle");
        }

        pen.Text((frame.Left + frame.Right) / 2, frame.Level.PixelFrom + 38, "hours of the trace", "p-caption", "middle");
    }

    /// <summary>Swatches with their words, from the right edge leftwards, on a panel's caption line.</summary>
    public static void Legend(PicturePen pen, TraceFrame frame, PictureScale rows, params (string Look, string Words)[] entries)
    {
        var x = frame.Right;
        var y = rows.PixelTo - 10;
        foreach (var (look, words) in entries.Reverse())
        {
            // About 6.6 px a letter at this size.
            x -= words.Length * 6.6;
            pen.Text(x, y, words, "p-caption");
            x -= 28;
            if (look.Contains("p-fan", StringComparison.Ordinal))
            {
                pen.Area([(x, y - 9, y + 1), (x + 22, y - 9, y + 1)], look);
            }
            else
            {
                pen.Line(x, y - 4, x + 22, y - 4, look);
            }

            x -= 14;
        }
    }

    private static void Rows(PicturePen pen, TraceFrame frame, PictureScale rows, string caption, IEnumerable<(double Value, string Words)> ticks)
    {
        pen.Text(0, rows.PixelTo - 10, caption, "p-caption");
        foreach (var (value, words) in ticks)
        {
            pen.Line(frame.Left, rows.At(value), frame.Right, rows.At(value), "p-grid");
            pen.Text(frame.Left - 6, rows.At(value) + 4, words, "p-tick", "end");
        }

        pen.Line(frame.Left, rows.PixelFrom, frame.Right, rows.PixelFrom, "p-axis");
    }

    private static IEnumerable<(double Value, string Words)> Values(PictureScale rows, int about) =>
        rows.Ticks(about).Select(v => (v, $"{v:0.##}"));

    private static IEnumerable<(double Value, string Words)> Hours(PictureScale rows, int about)
    {
        var inHours = new PictureScale(rows.From / Hour, rows.To / Hour, rows.PixelFrom, rows.PixelTo);
        return inHours.Ticks(about).Select(h => (h * Hour, $"{h:0.##} h"));
    }
}
