using Evenwater.Core.Estimation;
using Evenwater.Core.Telling;

namespace Evenwater.Page;

/// <summary>The moments: now, and when vessel and tank will be even and the mark reached, each with its 90 % range.</summary>
internal static class MomentPart
{
    private enum Side
    {
        Above,
        Below,
    }

    /// <summary>The line of now; drawn first, so that nothing is crossed out by it.</summary>
    public static void DrawNow(PicturePen pen, PictureFrame frame, StationView view)
    {
        var now = frame.Time.At(view.NowSeconds);
        pen.Line(now, frame.Conductivity.PixelTo, now, frame.Volume.PixelFrom + 27, "p-now");
    }

    public static void Draw(PicturePen pen, PictureFrame frame, StationView view)
    {
        var now = frame.Time.At(view.NowSeconds);
        Label(pen, frame, now, frame.Volume.PixelFrom + 41, $"{view.NowWord} {view.Now:HH':'mm}", "p-moment");
        if (!view.ValveOpen || view.Forecast is not { Health: not Health.Blind } forecast) return;

        var last = view.History.LastOrDefault(p => p.VesselConductivity is not null && p.TankConductivity is not null);
        if ((!view.MatchCannotTell || view.EvenByShare is not null) && last is { VesselConductivity: { } vessel, TankConductivity: { } tank } && (view.EvenByShare is null ? view.ToleranceMicrosiemensPerCm : 0) is { } tolerance)
        {
            var (edge, far, side) = vessel >= tank ? (tank + tolerance, tank - tolerance, Side.Below) : (tank - tolerance, tank + tolerance, Side.Above);
            var y = frame.Conductivity;
            Moment(pen, frame, view, forecast.EvenSeconds, "even", y.At(edge), y.At(far), side);
        }

        if (view.MarkLitres is { } mark && view.BrimLitres is { } brim)
        {
            Moment(pen, frame, view, forecast.BrimSeconds, "at mark", frame.Volume.At(mark), frame.Volume.At(brim), Side.Above);
        }
    }

    private static void Moment(PicturePen pen, PictureFrame frame, StationView view, in Quantiles seconds, string what, double y, double yLabel, Side side)
    {
        var baseline = side == Side.Below ? yLabel + 17 : yLabel - 8;
        if (seconds.P50 <= 0)
        {
            Label(pen, frame, frame.Time.At(view.NowSeconds), baseline, $"{(seconds.P95 > 0 ? "probably " : "")}{what} now", "p-moment");
            return;
        }

        if (!(seconds.P50 <= frame.HorizonSeconds)) return;
        var x = frame.Time.At(view.NowSeconds + seconds.P50);
        var to = frame.Time.At(view.NowSeconds + Math.Min(seconds.P95, frame.HorizonSeconds));
        pen.Line(x, y, x, yLabel + (side == Side.Below ? 4 : -4), "p-guide");
        pen.Line(frame.Time.At(view.NowSeconds + seconds.P05), y, to, y, "p-range");
        pen.Dot(x, y, 4.5, "p-dot");
        Label(pen, frame, x, baseline, $"{what} about {TimeWords.Clock(view.ForecastNow, seconds.P50, view.Zone)}", "p-moment");
    }

    // Kept clear of the names at the right by its estimated width: about 7.6 px a letter in bold at this size.
    private static void Label(PicturePen pen, PictureFrame frame, double x, double y, string words, string look)
    {
        var half = words.Length * 3.8;
        pen.Text(Math.Clamp(x, half, frame.Right - half), y, words, look, "middle");
    }
}
