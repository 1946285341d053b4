using Evenwater.Page;

namespace Evenwater.Scoring;

/// <summary>The water in the vessel: as estimated with its 90 % range, as it truly was, with mark and brim.</summary>
internal static class LevelPanel
{
    public static void Draw(PicturePen pen, TraceFrame frame, TraceNight night)
    {
        var (x, y) = (frame.Time, frame.Level);
        var mark = night.Truth?.MarkLitres ?? night.Prior.BrimLitres - night.Prior.FreeboardLitres;
        var brim = night.Truth?.BrimLitres ?? night.Prior.BrimLitres;
        pen.Open("g", ("clip-path", TracePicture.ClipOf(y)));
        foreach (var stretch in MomentPanel.Stretches(night.Evaluations))
        {
            pen.Area([.. stretch.Select(e => (x.At(e.Seconds), y.At(Math.Min(e.Forecast.VolumeLitres.P05, 2 * y.To)), y.At(Math.Min(e.Forecast.VolumeLitres.P95, 2 * y.To))))], "p-fan p-fan-level");
            pen.Curve([.. stretch.Select(e => (x.At(e.Seconds), y.At(Math.Min(e.Forecast.VolumeLitres.P50, 2 * y.To))))], "p-level");
        }

        pen.Line(frame.Left, y.At(mark), frame.Right, y.At(mark), "p-mark");
        pen.Line(frame.Left, y.At(brim), frame.Right, y.At(brim), "p-brim");
        pen.Curve([.. night.TrueRows.Where(r => r.Litres is not null).Select(r => (x.At(r.Seconds), y.At(r.Litres!.Value)))], "t-true");
        pen.Close();
        TraceAxes.Legend(
            pen, frame, y,
            [("p-fan p-fan-level", "5 to 95 %"), ("p-level", "median"), ("p-mark", $"mark {mark:0.0}"), ("p-brim", $"brim {brim:0.0}"), .. night.TrueRows.Count > 0 ? [("t-true", "true")] : Array.Empty<(string, string)>()]);
    }
}
