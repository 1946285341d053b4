using System.Globalization;

namespace Evenwater.Page.Looking;

/// <summary>A level with its interval over a part of a picture.</summary>
/// <param name="From">Where it begins.</param>
/// <param name="To">Where it ends.</param>
/// <param name="Low">The interval's lower end, in the channel's unit.</param>
/// <param name="Level">The level.</param>
/// <param name="High">Its upper end.</param>
internal readonly record struct LookLevel(DateTimeOffset From, DateTimeOffset To, double Low, double Level, double High);

/// <summary>What a picture of the past shows.</summary>
/// <param name="Id">Tells it apart on its page.</param>
/// <param name="Title">What it is.</param>
/// <param name="Words">What can be seen in it, for who can not see it.</param>
/// <param name="Unit">Of the values.</param>
/// <param name="From">Where it begins.</param>
/// <param name="To">Where it ends.</param>
/// <param name="Points">Values by time, in order; null leaves a gap.</param>
/// <param name="Levels">Before and after.</param>
/// <param name="Marks">Moments with the number that they are known by, one after the other; null: what it is all about.</param>
internal sealed record Looked(
    string Id, string Title, string Words, string Unit, DateTimeOffset From, DateTimeOffset To,
    IReadOnlyList<(DateTimeOffset At, double? Value)> Points, IReadOnlyList<LookLevel> Levels, IReadOnlyList<(DateTimeOffset At, int? Number)> Marks);

/// <summary>Draws a stretch of one channel's past as SVG: the line, what was before and after with its interval, and marks.</summary>
internal static class LookPicture
{
    private const double Height = 210;
    private const double Top = 46;
    private const double Bottom = 182;

    /// <summary>Both layouts, the narrow one first.</summary>
    public static string Both(Looked look, TimeZoneInfo zone) => Draw(look, zone, PictureSize.Narrow) + Draw(look, zone, PictureSize.Wide);

    /// <summary>The picture; its look is in picture.css and looking.css.</summary>
    public static string Draw(Looked look, TimeZoneInfo zone, PictureSize size)
    {
        var rows = Rows(look);
        var levels = PictureFrame.LevelsWidth(rows.To);
        var (width, left, right, ticks) = size == PictureSize.Wide ? (760.0, Math.Max(52.0, levels), 748.0, 10) : (358.0, Math.Max(42.0, levels), 348.0, 5);
        var id = $"{look.Id}-{(size == PictureSize.Wide ? "wide" : "narrow")}";
        var time = new PictureScale(0, (look.To - look.From).TotalSeconds, left, right);
        var pen = new PicturePen();
        pen.Open("svg", ("viewBox", $"0 0 {PicturePen.Pixel(width)} {PicturePen.Pixel(Height)}"), ("class", size == PictureSize.Wide ? "picture wide" : "picture narrow"), ("role", "img"), ("aria-labelledby", $"title-{id}"), ("aria-describedby", $"desc-{id}"));
        pen.Words("title", $"title-{id}", look.Title);
        pen.Words("desc", $"desc-{id}", look.Words);
        pen.Text(0, 12, $"{look.Title}, {look.Unit}", "p-caption");
        foreach (var value in rows.Ticks(4))
        {
            pen.Line(left, rows.At(value), right, rows.At(value), "p-grid");
            pen.Text(left - PictureFrame.TickGap, rows.At(value) + 4, (value + 0.0).ToString("0.###;-0.###;0", CultureInfo.InvariantCulture), "p-tick", "end");
        }

        foreach (var (seconds, clock) in time.ClockTicks(s => TimeZoneInfo.ConvertTime(look.From.AddSeconds(s), zone), ticks))
        {
            pen.Line(time.At(seconds), Bottom, time.At(seconds), Bottom + 5, "p-axis");
            pen.Text(time.At(seconds), Bottom + 19, clock.ToString(clock.TimeOfDay == TimeSpan.Zero ? "d MMM" : "HH:mm", CultureInfo.InvariantCulture), "p-tick", "middle");
        }

        pen.Line(left, Bottom, right, Bottom, "p-axis");
        double X(DateTimeOffset at) => time.At(Math.Clamp((at - look.From).TotalSeconds, time.From, time.To));
        foreach (var level in look.Levels) pen.Area([(X(level.From), rows.At(level.Low), rows.At(level.High)), (X(level.To), rows.At(level.Low), rows.At(level.High))], "l-doubt");
        foreach (var part in Parts(look.Points)) pen.Curve([.. part.Select(point => (X(point.At), rows.At(point.Value)))], "l-line");
        foreach (var level in look.Levels) pen.Curve([(X(level.From), rows.At(level.Level)), (X(level.To), rows.At(level.Level))], "l-level");
        Marks(pen, look, X, left, right);
        pen.Close();
        return pen.ToString();
    }

    /// <summary>Numbers in a row, those that lie too close sharing one; below it the arrow, at its very moment.</summary>
    private static void Marks(PicturePen pen, Looked look, Func<DateTimeOffset, double> x, double left, double right)
    {
        const int Many = 12; // whole lines of more, as of each day's food, hide what was read
        List<(DateTimeOffset At, int? Number)> seen = [.. look.Marks.Where(mark => mark.At >= look.From && mark.At <= look.To).OrderBy(mark => mark.At)];
        foreach (var (at, number) in seen)
        {
            pen.Line(x(at), Top - 4, x(at), number is null || seen.Count <= Many ? Bottom : Top + 6, "l-mark");
            if (number is null) pen.Text(x(at), Top - 8, "▼", "p-moment", "middle");
        }

        seen.RemoveAll(mark => mark.Number is null);
        foreach (var (place, words) in SharedMarks.Of([.. seen.Select(mark => x(mark.At))], left, right, seen.Select(mark => mark.Number).FirstOrDefault() ?? 1))
        {
            pen.Text(SharedMarks.Middle(place, words, left, right), Top - 20, words, "p-moment", "middle");
        }
    }

    private static PictureScale Rows(Looked look)
    {
        var all = look.Points.Select(point => point.Value).OfType<double>().Concat(look.Levels.SelectMany(level => new[] { level.Low, level.High })).Where(double.IsFinite).DefaultIfEmpty(0).ToList();
        var (low, high) = (all.Min(), all.Max());
        var room = Math.Max(0.06 * (high - low), 1e-3 * Math.Max(1, Math.Abs(high)));
        return new(low - room, high + room, Bottom, Top);
    }

    private static IEnumerable<List<(DateTimeOffset At, double Value)>> Parts(IReadOnlyList<(DateTimeOffset At, double? Value)> points)
    {
        List<(DateTimeOffset, double)> part = [];
        foreach (var (at, value) in points)
        {
            if (value is { } known)
            {
                part.Add((at, known));
                continue;
            }

            if (part.Count > 0) yield return part;
            part = [];
        }

        if (part.Count > 0) yield return part;
    }
}
