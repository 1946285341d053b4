using Evenwater.Page;

namespace Evenwater.Scoring;

/// <summary>The two waters: what the probes said, and what was true where it is known, with the band in which they count as even.</summary>
internal static class WaterPanel
{
    /// <summary>More points than pixels show nothing more.</summary>
    private const int MostPoints = 900;

    public static void Draw(PicturePen pen, TraceFrame frame, TraceNight night)
    {
        var (x, y) = (frame.Time, frame.Water);
        var tolerance = night.Prior.ToleranceMicrosiemensPerCm;
        pen.Open("g", ("clip-path", TracePicture.ClipOf(y)));
        pen.Area([.. Band(night).Select(p => (x.At(p.Seconds), Inside(y, p.Tank - tolerance), Inside(y, p.Tank + tolerance)))], "t-even");
        Stretches(pen, frame, night, r => r.Tank, "t-measured t-of-tank");
        Stretches(pen, frame, night, r => r.Vessel, "t-measured t-of-vessel");
        pen.Curve([.. night.TrueRows.Where(r => r.TankMicrosiemensPerCm is not null).Select(r => (x.At(r.Seconds), Inside(y, r.TankMicrosiemensPerCm!.Value)))], "t-true");
        pen.Curve([.. night.TrueRows.Where(r => r.VesselMicrosiemensPerCm is not null).Select(r => (x.At(r.Seconds), Inside(y, r.VesselMicrosiemensPerCm!.Value)))], "t-true");
        pen.Close();
        TraceAxes.Legend(
            pen, frame, y,
            [("t-measured t-of-vessel", "bucket, measured"), ("t-measured t-of-tank", "tank, measured"), ("p-fan t-even", "even with the tank"), .. night.TrueRows.Count > 0 ? [("t-true", "true")] : Array.Empty<(string, string)>()]);
    }

    /// <summary>The tank as it truly was, or as measured.</summary>
    private static IEnumerable<(double Seconds, double Tank)> Band(TraceNight night) => night.TrueRows.Count > 0
        ? night.TrueRows.Where(r => r.TankMicrosiemensPerCm is not null).Select(r => (r.Seconds, r.TankMicrosiemensPerCm!.Value))
        : Thinned(night.Measured).Where(r => r.Tank is not null).Select(r => (r.Seconds, r.Tank!.Value));

    private static void Stretches(PicturePen pen, TraceFrame frame, TraceNight night, Func<MeasuredRow, double?> value, string look)
    {
        var stretch = new List<(double, double)>();
        var last = double.NegativeInfinity;
        var longest = Math.Max(90, 4 * (night.EndSeconds - night.Measured[0].Seconds) / MostPoints);
        foreach (var row in Thinned(night.Measured))
        {
            if (value(row) is null || row.Seconds - last > longest)
            {
                pen.Curve(stretch, look);
                stretch = [];
            }

            if (value(row) is { } shown)
            {
                stretch.Add((frame.Time.At(row.Seconds), Inside(frame.Water, shown)));
            }

            last = row.Seconds;
        }

        pen.Curve(stretch, look);
    }

    private static IEnumerable<MeasuredRow> Thinned(IReadOnlyList<MeasuredRow> rows)
    {
        var step = Math.Max(rows.Count / MostPoints, 1);
        for (var i = 0; i < rows.Count; i += step)
        {
            yield return rows[i];
        }
    }

    /// <summary>An absurd reading leaves the panel by its own height, not by a light year.</summary>
    private static double Inside(PictureScale y, double value) => y.At(Math.Clamp(value, y.From - (y.To - y.From), y.To + (y.To - y.From)));
}
