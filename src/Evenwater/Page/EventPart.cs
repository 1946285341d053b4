namespace Evenwater.Page;

/// <summary>What happened, marked where it happened: a number over a thin line, the number of the list below the picture. What lies close together shares a mark.</summary>
internal static class EventPart
{
    private const double Above = 12;

    public static void Draw(PicturePen pen, PictureFrame frame, StationView view)
    {
        var y = frame.Conductivity.PixelTo + Above;
        foreach (var (x, words) in SharedMarks.Of([.. view.Events.Select(e => At(frame, e))], frame.Left, frame.Right))
        {
            pen.Line(x, y + 5, x, frame.Volume.PixelFrom, "p-event");
            pen.Text(SharedMarks.Middle(x, words, frame.Left, frame.Right), y, words, "p-event-number", "middle");
        }
    }

    private static double At(PictureFrame frame, RunEvent happened) => Math.Clamp(frame.Time.At(happened.Seconds), frame.Left, frame.Right);
}
