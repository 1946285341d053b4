using Evenwater.Page;

namespace Evenwater.Terminal;

/// <summary>The picture in characters: conductivity of vessel (solid) and tank (dotted), below it the water in the vessel; the future is sparse.</summary>
internal static class TerminalChart
{
    private const int Margin = 7;
    private const int Names = 10;
    private const int ConductivityRows = 7;
    private const int LevelRows = 4;

    public static IEnumerable<string> Draw(StationView view, int columns, bool unicode)
    {
        var plot = columns - Margin - Names;
        if (plot < 24 || view.History.Count < 2) return [];
        var frame = PictureFrame.For(view, PictureSize.Wide);
        return
        [
            "Conductivity, µS/cm at 25 °C",
            .. Conductivity(view, frame, plot, unicode),
            "Water in the vessel, L",
            .. Level(view, frame, plot, unicode),
            Clocks(view, frame, plot),
        ];
    }

    private static IEnumerable<string> Conductivity(StationView view, PictureFrame frame, int plot, bool unicode)
    {
        var dots = new DotGrid(plot, ConductivityRows, unicode);
        var (x, y) = Scales(frame, frame.Conductivity, dots);
        foreach (var p in view.History)
        {
            if (p.TankConductivity is { } tank && (int)x.At(p.Seconds) % 3 == 0) dots.Set(x.At(p.Seconds), y.At(tank), '-');
        }

        foreach (var line in PicturePast.Stretches(view.History, p => p.VesselConductivity is { } c ? (x.At(p.Seconds), y.At(c)) : ((double, double)?)null)) dots.Line(line, '*');
        var ahead = ForecastPicture.Ahead(view, frame);
        dots.Sparse([.. ahead.Select(b => (x.At(view.NowSeconds + b.Seconds), y.At(b.P50)))], '.');
        var last = view.History.LastOrDefault(p => p.VesselConductivity is not null && p.TankConductivity is not null);
        var end = ahead.Length > 0 ? ahead[^1].P50 : last.VesselConductivity;
        return Framed(dots, frame.Conductivity, [(Row(y, end), "vessel"), (Row(y, last.TankConductivity), "tank")]);
    }

    private static IEnumerable<string> Level(StationView view, PictureFrame frame, int plot, bool unicode)
    {
        var dots = new DotGrid(plot, LevelRows, unicode);
        var (x, y) = Scales(frame, frame.Volume, dots);
        if (view.BrimLitres is { } brim) dots.Line([(0, y.At(brim)), (dots.Width - 1, y.At(brim))], '=');
        foreach (var line in PicturePast.Stretches(view.History, p => p.VolumeP50 is { } v ? (x.At(p.Seconds), y.At(v)) : ((double, double)?)null)) dots.Line(line, '*');
        dots.Sparse([.. ForecastPicture.LevelAhead(view, frame).Select(b => (x.At(view.NowSeconds + b.Seconds), y.At(b.P50)))], '.');
        return Framed(dots, frame.Volume, [(Row(y, view.BrimLitres), $"brim {view.BrimLitres:F1}")]);
    }

    private static (PictureScale X, PictureScale Y) Scales(PictureFrame frame, PictureScale rows, DotGrid dots) =>
        (frame.Time with { PixelFrom = 0, PixelTo = dots.Width - 1 }, rows with { PixelFrom = dots.Height - 1, PixelTo = 0 });

    private static int? Row(PictureScale y, double? value) => value is { } v ? (int)Math.Round(y.At(v)) / DotGrid.DotsPerRow : null;

    private static IEnumerable<string> Framed(DotGrid dots, PictureScale rows, (int? Row, string Name)[] names)
    {
        var lines = dots.ToLines();
        for (var i = 0; i < lines.Length; i++)
        {
            var edge = i == 0 ? Edge(rows.To, rows.To) : i == lines.Length - 1 ? Edge(rows.From, rows.To) : "";
            var name = string.Join('/', names.Where(n => n.Row == i).Select(n => n.Name));
            yield return $"{edge,Margin - 1} {lines[i]} {name}";
        }
    }

    private static string Clocks(StationView view, PictureFrame frame, int plot)
    {
        var line = new string(' ', plot + Margin).ToCharArray();
        var now = Math.Clamp((int)(frame.Time with { PixelFrom = 0, PixelTo = plot - 1 }).At(view.NowSeconds) + Margin - 4, 14, plot + Margin - 16);
        Put(line, Margin, $"{view.ClockAt(frame.Time.From):HH':'mm}");
        Put(line, now, $"now {view.Now:HH':'mm}");
        Put(line, plot + Margin - 5, $"{view.ClockAt(frame.Time.To):HH':'mm}");
        return new string(line);
    }

    /// <summary>A value at the axis's end; in a jar of less than 3 L a full litre tells too little.</summary>
    internal static string Edge(double value, double most) => most < 3 ? $"{value:0.0}" : $"{value:0}";

    internal static void Put(char[] line, int at, string words) => words.CopyTo(0, line, at, Math.Min(words.Length, line.Length - at));
}
