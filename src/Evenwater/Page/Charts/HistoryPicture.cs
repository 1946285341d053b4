using Evenwater.Core.Charting;

namespace Evenwater.Page.Charts;

/// <summary>A chart drawn by the server: for each line the band from lowest to highest, the mean, and nothing over a gap.</summary>
internal static class HistoryPicture
{
    private const int AboutLevels = 6;

    /// <summary>The chart of one unit.</summary>
    /// <param name="made">The whole, for its axis and its marks.</param>
    /// <param name="lines">The lines of that unit, with their looks.</param>
    /// <param name="size">For which width.</param>
    /// <param name="name">What the drawing is called, for those who do not see it.</param>
    public static string Draw(HistoryMade made, IReadOnlyList<(HistoryLine Line, int Look)> lines, PictureSize size, string name)
    {
        var frame = HistoryFrame.Of(size);
        var ask = made.Data.Ask;
        var axis = made.Data.Axis;
        var time = new PictureScale(0, axis.Count * axis.Step.TotalSeconds, frame.Left, frame.Right);
        var drawn = lines.Select(one => (one.Line.IsCompared, one.Look, Line: one.Line.Line.Thinned(frame.Bins))).ToList();
        var switches = ChannelLook.Of(lines[0].Line.Of.Channel).IsSwitch;
        var values = HistoryFrame.Values(drawn.Select(one => one.Line), switches);
        var pen = new PicturePen();
        pen.Open("svg", ("viewBox", $"0 0 {frame.Width} {HistoryFrame.Height}"), ("class", $"picture {(size == PictureSize.Wide ? "wide" : "narrow")}"), ("role", "img"), ("aria-label", name));
        Levels(pen, frame, values, switches ? 2 : AboutLevels);
        Grid(pen, frame, time, ask);
        double[] marks = [.. made.Data.Marks.Select(mark => time.At((mark.At - ask.From).TotalSeconds))];
        foreach (var x in marks) pen.Line(x, HistoryFrame.Top, x, HistoryFrame.Bottom, "h-mark");
        foreach (var (x, words) in SharedMarks.Of(marks, frame.Left, frame.Right)) pen.Text(SharedMarks.Middle(x, words, frame.Left, frame.Right), HistoryFrame.Top - 6, words, "p-tick", "middle");

        foreach (var (compared, look, line) in drawn) Line(pen, line, time, values, $"h-{look % 8}{(compared ? " h-compared" : "")}");
        pen.Close();
        return pen.ToString();
    }

    /// <summary>The course over a day: the median of each hour and its quartiles.</summary>
    public static string Draw(IReadOnlyList<HourProfile> hours, int look, PictureSize size, string name)
    {
        var frame = HistoryFrame.Of(size);
        var time = new PictureScale(0, 24, frame.Left, frame.Right);
        var values = HistoryFrame.Values(hours.Min(hour => hour.Quarter), hours.Max(hour => hour.ThreeQuarters));
        var pen = new PicturePen();
        pen.Open("svg", ("viewBox", $"0 0 {frame.Width} {HistoryFrame.Height}"), ("class", $"picture {(size == PictureSize.Wide ? "wide" : "narrow")}"), ("role", "img"), ("aria-label", name));
        Levels(pen, frame, values, AboutLevels);
        for (var hour = 0; hour <= 24; hour += size == PictureSize.Wide ? 3 : 6)
        {
            pen.Line(time.At(hour), HistoryFrame.Top, time.At(hour), HistoryFrame.Bottom, "p-grid");
            pen.Text(time.At(hour), HistoryFrame.Bottom + 16, $"{hour:00}:00", "p-tick", hour switch { 0 => "start", 24 => "end", _ => "middle" });
        }

        // Each hour stands at its middle.
        pen.Area([.. hours.Select(hour => (time.At(hour.Hour + 0.5), values.At(hour.Quarter), values.At(hour.ThreeQuarters)))], $"h-band h-{look % 8}");
        pen.Curve([.. hours.Select(hour => (time.At(hour.Hour + 0.5), values.At(hour.Median)))], $"h-line h-{look % 8}");
        pen.Close();
        return pen.ToString();
    }

    private static void Grid(PicturePen pen, HistoryFrame frame, PictureScale time, HistoryAsk ask)
    {
        var days = (ask.To - ask.From).TotalDays;
        foreach (var (seconds, clock) in time.ClockTicks(s => TimeZoneInfo.ConvertTime(ask.From.AddSeconds(s), ask.Zone), frame.Ticks))
        {
            pen.Line(time.At(seconds), HistoryFrame.Top, time.At(seconds), HistoryFrame.Bottom, "p-grid");
            var text = days > 300 ? clock.ToString("MMM yy") : clock.TimeOfDay == TimeSpan.Zero || days > frame.Ticks ? clock.ToString("d MMM") : clock.ToString("HH:mm");
            pen.Text(time.At(seconds), HistoryFrame.Bottom + 16, text, "p-tick", time.At(seconds) > frame.Right - 20 ? "end" : "middle");
        }
    }

    private static void Levels(PicturePen pen, HistoryFrame frame, PictureScale values, int about)
    {
        foreach (var level in values.Ticks(about))
        {
            pen.Line(frame.Left, values.At(level), frame.Right, values.At(level), "p-grid");
            pen.Text(frame.Left - 4, values.At(level) + 4, Math.Round(level, 4).ToString("0.####"), "p-tick", "end");
        }

        pen.Line(frame.Left, HistoryFrame.Bottom, frame.Right, HistoryFrame.Bottom, "p-axis");
    }

    private static void Line(PicturePen pen, ChartLine line, PictureScale time, PictureScale values, string look)
    {
        foreach (var stretch in Stretches(line))
        {
            var points = stretch.Select(place => (X: time.At((place + 0.5) * line.Axis.Step.TotalSeconds), Bin: line.Bins[place]!.Value)).ToList();
            if (points is [var alone])
            {
                pen.Dot(alone.X, values.At(alone.Bin.Mean), 1.6, $"h-dot {look}");
                continue;
            }

            pen.Area([.. points.Select(p => (p.X, values.At(p.Bin.Min), values.At(p.Bin.Max)))], $"h-band {look}");
            pen.Curve([.. points.Select(p => (p.X, values.At(p.Bin.Mean)))], $"h-line {look}");
        }
    }

    /// <summary>The stretches that were read, parted where there is a gap.</summary>
    private static IEnumerable<List<int>> Stretches(ChartLine line)
    {
        var gaps = line.Gaps.Select(gap => gap.From).ToHashSet();
        var stretch = new List<int>();
        for (var place = 0; place < line.Bins.Count; place++)
        {
            if (line.Bins[place] is null) continue;
            if (stretch.Count > 0 && gaps.Contains(line.Axis.At(stretch[^1] + 1)))
            {
                yield return stretch;
                stretch = [];
            }

            stretch.Add(place);
        }

        if (stretch.Count > 0) yield return stretch;
    }
}
