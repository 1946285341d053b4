using Evenwater.Page;

namespace Evenwater.Reporting;

/// <summary>The temperatures of vessel and tank over a run, as SVG, on the same time as the picture above it.</summary>
internal static class TemperaturePicture
{
    private const double Height = 190;
    private const double Top = 24;
    private const double Bottom = 156;

    /// <summary>The drawing; empty when no temperature was read.</summary>
    public static string Draw(StationView view, PictureSize size)
    {
        var seen = view.History.SelectMany(p => new[] { p.VesselTemperature, p.TankTemperature }).OfType<double>().ToList();
        if (seen.Count == 0)
        {
            return "";
        }

        var frame = PictureFrame.For(view, size);
        var room = Math.Max(0.14 * (seen.Max() - seen.Min()), 0.3);
        var celsius = new PictureScale(seen.Min() - room, seen.Max() + room, Bottom, Top);
        var (pen, id) = (new PicturePen(), size == PictureSize.Wide ? "wide" : "narrow");
        pen.Open(
            "svg", ("viewBox", $"0 0 {PicturePen.Pixel(frame.Width)} {PicturePen.Pixel(Height)}"), ("class", $"picture {id}"), ("role", "img"),
            ("aria-labelledby", $"warm-title-{id}"),
            ("aria-describedby", $"warm-desc-{id}"));
        pen.Words("title", $"warm-title-{id}", "Temperature of vessel and tank");
        pen.Words("desc", $"warm-desc-{id}", Describe(view));
        pen.Text(0, 13, "Temperature, °C", "p-caption");
        foreach (var value in celsius.Ticks(4))
        {
            pen.Line(frame.Left, celsius.At(value), frame.Right, celsius.At(value), "p-grid");
            pen.Text(frame.Left - 6, celsius.At(value) + 4, $"{value:0.##}", "p-tick", "end");
        }

        foreach (var (seconds, clock) in frame.Time.ClockTicks(view.ClockAt, size == PictureSize.Wide ? 9 : 5))
        {
            pen.Line(frame.Time.At(seconds), Bottom, frame.Time.At(seconds), Bottom + 5, "p-axis");
            pen.Text(frame.Time.At(seconds), Bottom + 19, $"{clock:HH':'mm}", "p-tick", "middle");
        }

        pen.Line(frame.Left, Bottom, frame.Right, Bottom, "p-axis");
        foreach (var (take, look, name) in new (Func<HistoryPoint, double?>, string, string)[] { (p => p.TankTemperature, "p-tank", "tank"), (p => p.VesselTemperature, "p-vessel", "vessel") })
        {
            foreach (var stretch in PicturePast.Stretches(view.History, p => take(p) is { } value ? (frame.Time.At(p.Seconds), celsius.At(value)) : ((double, double)?)null))
            {
                pen.Curve(stretch, look);
            }
        }

        Names(pen, frame, view, celsius);
        pen.Close();
        return pen.ToString();
    }

    /// <summary>The names beside the curves' ends, kept apart.</summary>
    private static void Names(PicturePen pen, PictureFrame frame, StationView view, PictureScale celsius)
    {
        double? vessel = view.History.LastOrDefault(p => p.VesselTemperature is not null).VesselTemperature, tank = view.History.LastOrDefault(p => p.TankTemperature is not null).TankTemperature;
        var apart = vessel is { } v && tank is { } t ? Math.Max(0, 15 - Math.Abs(celsius.At(v) - celsius.At(t))) / 2 : 0;
        var vesselIsLower = vessel < tank;
        Name(vessel, "vessel", "vessel", vesselIsLower);
        Name(tank, "tank", "tank", !vesselIsLower);

        void Name(double? value, string words, string look, bool lower)
        {
            if (value is { } at)
            {
                pen.Text(frame.Right + 6, celsius.At(at) + 4 + (lower ? apart : -apart), words, $"p-name p-name-{look}");
            }
        }
    }

    private static string Describe(StationView view)
    {
        var vessel = view.History.Select(p => p.VesselTemperature).OfType<double>().ToList();
        return vessel.Count == 0 ? "The vessel's temperature was not measured." : $"The vessel went from {vessel[0]:0.0} to {vessel[^1]:0.0} °C.";
    }
}
