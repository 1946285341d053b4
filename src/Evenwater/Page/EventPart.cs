namespace Evenwater.Page;

/// <summary>What happened, marked where it happened: a number over a thin line, the number of the list below the picture. What lies close together shares a mark.</summary>
internal static class EventPart
{
    private const double Room = 26;
    private const double Above = 12;

    public static void Draw(PicturePen pen, PictureFrame frame, StationView view)
    {
        var y = frame.Conductivity.PixelTo + Above;
        foreach (var (x, words) in Marks(frame, view))
        {
            pen.Line(x, y + 5, x, frame.Volume.PixelFrom, "p-event");
            pen.Text(Math.Clamp(x, frame.Left + 8, frame.Right - 8), y, words, "p-event-number", "middle");
        }
    }

    /// <summary>Where the marks go, and what stands at each: "3", or "3–5".</summary>
    internal static IEnumerable<(double X, string Words)> Marks(PictureFrame frame, StationView view)
    {
        var from = 0;
        while (from < view.Events.Count)
        {
            var x = At(frame, view.Events[from]);
            var to = from;
            while (to + 1 < view.Events.Count && At(frame, view.Events[to + 1]) - x < Room) to++;
            yield return (x, from == to ? $"{from + 1}" : $"{from + 1}–{to + 1}");
            from = to + 1;
        }
    }

    private static double At(PictureFrame frame, RunEvent happened) => Math.Clamp(frame.Time.At(happened.Seconds), frame.Left, frame.Right);
}
