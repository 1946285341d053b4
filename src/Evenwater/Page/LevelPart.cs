using Evenwater.Core.Telling;

namespace Evenwater.Page;

/// <summary>The lower part: the water in the vessel with its 90 % range, the mark that must not be passed and the brim.</summary>
internal static class LevelPart
{
    public static void Draw(PicturePen pen, PictureFrame frame, StationView view, Band[] fan, PictureLabels labels)
    {
        var x = frame.Time;
        var y = frame.Volume;
        if (view.MarkLitres is { } mark)
        {
            pen.Line(frame.Left, y.At(mark), frame.Right, y.At(mark), "p-mark");
            labels.Add(y.At(mark), $"mark {PictureWords.Litres(view, mark)}", "p-name-quiet");
        }

        if (view.BrimLitres is { } brim)
        {
            pen.Line(frame.Left, y.At(brim), frame.Right, y.At(brim), "p-brim");
            labels.Add(y.At(brim), $"brim {PictureWords.Litres(view, brim)}", "p-name-strong");
        }

        if (view.StandpipeLitres is { } pipe)
        {
            pen.Line(frame.Left, y.At(pipe), frame.Right, y.At(pipe), "p-mark");
            labels.Add(y.At(pipe), $"pipe {PictureWords.Litres(view, pipe)}", "p-name-quiet");
        }

        pen.Area([.. fan.Select(b => (x.At(view.NowSeconds + b.Seconds), y.At(b.P05), y.At(b.P95)))], "p-fan p-fan-level");
        pen.Curve([.. fan.Select(b => (x.At(view.NowSeconds + b.Seconds), y.At(b.P50)))], "p-level p-middle");
        foreach (var stretch in PicturePast.Stretches(view.History, p => Range(frame, p))) pen.Area(stretch, "p-fan p-fan-level");
        foreach (var stretch in PicturePast.Stretches(view.History, p => p.VolumeP50 is { } v ? (x.At(p.Seconds), y.At(v)) : ((double, double)?)null))
        {
            pen.Curve(stretch, "p-level");
        }

        if (fan.Length > 0 && fan[^1].P50 < (view.MarkLitres ?? 0) * 0.9) labels.Add(y.At(fan[^1].P50), "level", "p-name-level");
    }

    private static (double X, double Low, double High)? Range(PictureFrame frame, HistoryPoint p) => p is { VolumeP05: { } low, VolumeP95: { } high }
        ? (frame.Time.At(p.Seconds), frame.Volume.At(low), frame.Volume.At(high))
        : null;
}
