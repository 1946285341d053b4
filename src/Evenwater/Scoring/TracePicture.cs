using Evenwater.Page;
using Evenwater.Running;

namespace Evenwater.Scoring;

/// <summary>
/// One trace as SVG: what happened and what was told; the two waters, measured and true; when they would be even and when the mark
/// would be reached, as the forecast moved through the night; the water in the vessel. A pure function of the night.
/// </summary>
internal static class TracePicture
{
    /// <summary>The picture, standing alone.</summary>
    public static string Draw(TraceNight night)
    {
        var frame = TraceFrame.For(night);
        var pen = new PicturePen();
        pen.Open(
            "svg",
            ("viewBox", string.Join(' ', new[] { -TraceFrame.Margin, -TraceFrame.Margin, TraceFrame.Width + (2 * TraceFrame.Margin), TraceFrame.Height + (2 * TraceFrame.Margin) }.Select(PicturePen.Pixel))),
            ("class", "picture wide trace"), ("role", "img"), ("aria-labelledby", "title"), ("aria-describedby", "desc"));
        pen.Words("title", "title", Title(night));
        pen.Words("desc", "desc", string.Join(' ', Sentences(night)));
        pen.Text(0, 17, Title(night), "t-title");
        pen.Text(0, 37, string.Join(' ', Sentences(night)), "p-caption");
        Clips(pen, frame);
        TraceAxes.Draw(pen, frame);
        TraceStrip.Draw(pen, frame, night);
        WaterPanel.Draw(pen, frame, night);
        MomentPanel.Draw(pen, frame, frame.Even, night, "even", e => e.Forecast.MatchSeconds, night.Truth?.MatchSeconds);
        MomentPanel.Draw(pen, frame, frame.Mark, night, "at the mark", e => e.Forecast.BrimSeconds, night.Truth?.BrimSeconds);
        LevelPanel.Draw(pen, frame, night);
        pen.Close();
        return PictureFile.Alone(pen.ToString(), "trace-picture.css");
    }

    /// <summary>Such as 5:07 after five hours and seven minutes.</summary>
    public static string Clock(double seconds) => $"{(int)(seconds / 3600)}:{(int)(seconds / 60) % 60:00}";

    /// <summary>The area in which a panel is drawn.</summary>
    public static string ClipOf(PictureScale rows) => $"url(#{ClipName(rows)})";

    private static string Title(TraceNight night) => $"{night.Name} ({night.Kind}): measured, forecast{(night.Truth is null ? "" : ", true")}";

    private static IEnumerable<string> Sentences(TraceNight night)
    {
        yield return night.Decision.ClosedAt is { } closed
            ? $"Would have closed after {Clock(closed)} h: {Words.Of(night.Decision.Trip)}."
            : "Would have stayed open.";
        if (night.Truth is not { } truth)
        {
            yield return "The truth is not known.";
            yield break;
        }

        yield return truth.MatchSeconds is { } match ? $"In truth even after {Clock(match)} h," : "In truth never even,";
        yield return truth.BrimSeconds is { } brim ? $"at the mark after {Clock(brim)} h," : "never at the mark,";
        yield return truth.SpillSeconds is { } spill ? $"over the rim after {Clock(spill)} h." : "never over the rim.";
    }

    private static void Clips(PicturePen pen, TraceFrame frame)
    {
        pen.Open("defs");
        foreach (var rows in new[] { frame.Water, frame.Even, frame.Mark, frame.Level })
        {
            pen.Open("clipPath", ("id", ClipName(rows)));
            pen.Open(
                "rect",
                ("x", PicturePen.Pixel(frame.Left)), ("y", PicturePen.Pixel(rows.PixelTo)),
                ("width", PicturePen.Pixel(frame.Right - frame.Left)), ("height", PicturePen.Pixel(rows.PixelFrom - rows.PixelTo)));
            pen.Close();
            pen.Close();
        }

        pen.Close();
    }

    private static string ClipName(PictureScale rows) => $"clip-{rows.PixelTo:0}";
}
