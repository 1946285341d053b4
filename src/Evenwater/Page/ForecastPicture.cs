using Evenwater.Core.Estimation;
using Evenwater.Core.Telling;

namespace Evenwater.Page;

/// <summary>
/// One picture of a run as SVG: above, the conductivity of vessel and tank, measured and to come, with the band in which they
/// count as even; below, the water in the vessel with its uncertainty, the mark and the brim. A pure function of the view.
/// </summary>
public static class ForecastPicture
{
    private const int FanSteps = 48;

    /// <summary>The picture; its look is in picture.css.</summary>
    public static string Draw(StationView view, PictureSize size)
    {
        var frame = PictureFrame.For(view, size);
        var pen = new PicturePen();
        var id = size == PictureSize.Wide ? "wide" : "narrow";
        pen.Open(
            "svg",
            ("viewBox", $"0 0 {PicturePen.Pixel(frame.Width)} {PicturePen.Pixel(frame.Height)}"),
            ("class", $"picture {id}"),
            ("role", "img"),
            ("aria-labelledby", $"title-{id}"),
            ("aria-describedby", $"desc-{id}"));
        pen.Words("title", $"title-{id}", PictureWords.Title);
        pen.Words("desc", $"desc-{id}", PictureWords.Describe(view));
        Definitions(pen, frame, id);
        MomentPart.DrawNow(pen, frame, view);
        EventPart.Draw(pen, frame, view);
        Axes(pen, frame, view);
        var labels = new PictureLabels();
        pen.Open("g", ("clip-path", $"url(#clip-conductivity-{id})"));
        ConductivityPart.Draw(pen, frame, view, id, Ahead(view, frame), labels);
        pen.Close();
        pen.Open("g", ("clip-path", $"url(#clip-water-{id})"));
        LevelPart.Draw(pen, frame, view, LevelAhead(view, frame), labels);
        pen.Close();
        MomentPart.Draw(pen, frame, view);
        labels.Write(pen, frame);
        pen.Close();
        return pen.ToString();
    }

    internal static Band[] Ahead(StationView view, PictureFrame frame)
    {
        if (Believed(view) is not { } forecast || view.ToleranceMicrosiemensPerCm is not > 0) return [];
        var last = view.History.LastOrDefault(p => p.VesselConductivity is not null && p.TankConductivity is not null);
        return last is { VesselConductivity: { } vessel, TankConductivity: { } tank } && view.NowSeconds - last.Seconds < 600
            ? Fan.Conductivity(forecast, vessel, tank, view.ToleranceMicrosiemensPerCm.Value, view.ValveOpen, frame.HorizonSeconds, FanSteps)
            : [];
    }

    internal static Band[] LevelAhead(StationView view, PictureFrame frame)
    {
        if (Believed(view) is not { } forecast || view.MarkLitres is not { } mark) return [];
        var fan = Fan.Volume(forecast, mark, view.ValveOpen, frame.HorizonSeconds, FanSteps);
        if (view.StandpipeLitres is not { } pipe) return fan;

        // What rises above the pipe runs off; where the vessel is reckoned to hold more by now, that is where it stays.
        var most = Math.Max(pipe, forecast.VolumeLitres.P95);
        return [.. fan.Select(b => b with { P05 = Math.Min(b.P05, pipe), P50 = Math.Min(b.P50, Math.Max(pipe, forecast.VolumeLitres.P50)), P95 = Math.Min(b.P95, most) })];
    }

    private static Forecast? Believed(StationView view) => view.Forecast is { Health: not Health.Blind } forecast ? forecast : null;

    private static void Definitions(PicturePen pen, PictureFrame frame, string id)
    {
        pen.Open("defs");
        pen.Open("pattern", ("id", $"hatch-{id}"), ("width", "7"), ("height", "7"), ("patternUnits", "userSpaceOnUse"), ("patternTransform", "rotate(45)"));
        pen.Line(0, 0, 0, 7, "p-hatch");
        pen.Close();
        Clip(pen, frame, $"clip-conductivity-{id}", frame.Conductivity);
        Clip(pen, frame, $"clip-water-{id}", frame.Volume);
        pen.Close();
    }

    /// <summary>Each part of the picture keeps to its own rows: what rises out of one does not come back in the other.</summary>
    private static void Clip(PicturePen pen, PictureFrame frame, string id, PictureScale rows)
    {
        pen.Open("clipPath", ("id", id));
        pen.Open(
            "rect",
            ("x", PicturePen.Pixel(frame.Left)),
            ("y", PicturePen.Pixel(rows.PixelTo)),
            ("width", PicturePen.Pixel(frame.Right - frame.Left)),
            ("height", PicturePen.Pixel(rows.PixelFrom - rows.PixelTo)));
        pen.Close();
        pen.Close();
    }

    private static void Axes(PicturePen pen, PictureFrame frame, StationView view)
    {
        pen.Text(0, 13, "Conductivity, µS/cm at 25 °C", "p-caption");
        pen.Text(0, frame.Volume.PixelTo - 11, "Water in the vessel, L", "p-caption");
        foreach (var (rows, about) in new[] { (frame.Conductivity, 5), (frame.Volume, 3) })
        {
            foreach (var value in rows.Ticks(about))
            {
                pen.Line(frame.Left, rows.At(value), frame.Right, rows.At(value), "p-grid");
                pen.Text(frame.Left - PictureFrame.TickGap, rows.At(value) + 4, $"{value:0.##}", "p-tick", "end");
            }
        }

        foreach (var (seconds, clock) in frame.Time.ClockTicks(view.ClockAt, frame.Size == PictureSize.Wide ? 9 : 5))
        {
            var x = frame.Time.At(seconds);
            pen.Line(x, frame.Volume.PixelFrom, x, frame.Volume.PixelFrom + 5, "p-axis");
            pen.Text(x, frame.Volume.PixelFrom + 19, $"{clock:HH':'mm}", "p-tick", "middle");
        }

        pen.Line(frame.Left, frame.Volume.PixelFrom, frame.Right, frame.Volume.PixelFrom, "p-axis");
    }
}
