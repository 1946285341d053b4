using Evenwater.Commands;
using Evenwater.Core.Planning;
using Evenwater.Core.Telling;
using Evenwater.Terminal;

namespace Evenwater.Page.Planning;

/// <summary>A planned course as SVG: conductivity above with the band in which the waters count as even, water in the vessel below with its mark and brim, draw-offs and moments by the clock.</summary>
internal static class PlanPicture
{
    private const int Points = 140;
    private const double Letter = 3.8; // half a letter's width in bold at this size, px, by eye

    /// <summary>The picture; its look is in picture.css.</summary>
    public static string Draw(PlanPage page, PictureSize size)
    {
        var picture = page.Picture;
        var line = Line(picture);
        var frame = Frame(page, picture, line, size);
        var id = size == PictureSize.Wide ? "wide" : "narrow";
        var pen = new PicturePen();
        pen.Open("svg", ("viewBox", $"0 0 {PicturePen.Pixel(frame.Width)} {PicturePen.Pixel(Height(picture))}"), ("class", $"picture {id}"), ("role", "img"), ("aria-labelledby", $"plan-title-{id}"), ("aria-describedby", $"plan-desc-{id}"));
        pen.Words("title", $"plan-title-{id}", "Planned conductivity and water in the vessel");
        pen.Words("desc", $"plan-desc-{id}", Words(page, picture, line));
        pen.Open("defs");
        pen.Open("pattern", ("id", $"plan-hatch-{id}"), ("width", "7"), ("height", "7"), ("patternUnits", "userSpaceOnUse"), ("patternTransform", "rotate(45)"));
        pen.Line(0, 0, 0, 7, "p-hatch");
        pen.Close();
        pen.Close();
        Axes(pen, frame, page.Clock);
        var labels = new PictureLabels();
        Conductivity(pen, frame, page, line, id, labels);
        Water(pen, frame, page, line, labels);
        labels.Write(pen, frame);
        Marks(pen, frame, page, picture);
        pen.Close();
        return pen.ToString();
    }

    /// <summary>The course at even steps, and just before and after each abrupt change; once closed the water stands.</summary>
    private static CourseAt[] Line(PlanChart.Picture picture)
    {
        const double Moment = 1e-6;
        return
        [
            .. Enumerable.Range(0, Points + 1).Select(i => picture.Hours * i / Points)
                .Concat(picture.Course.Turns.SelectMany(turn => new[] { turn - Moment, turn }).Where(hours => hours > 0 && hours < Math.Min(picture.Hours, picture.StopHours)))
                .Order().Select(hours => picture.Course.At(Math.Min(hours, picture.StopHours)) with { Hours = hours }),
        ];
    }

    private static PictureFrame Frame(PlanPage page, PlanChart.Picture picture, CourseAt[] line, PictureSize size)
    {
        var tolerance = page.Plan.ToleranceMicrosiemensPerCm;
        var seen = line.Select(at => at.MicrosiemensPerCm).Append(picture.TankMicrosiemensPerCm - tolerance).Append(picture.TankMicrosiemensPerCm + tolerance).ToList();
        var room = Math.Max(0.06 * (seen.Max() - seen.Min()), 2);
        var (width, left, right) = PictureFrame.Columns(size, seen.Max() + room);
        return new PictureFrame
        {
            Size = size,
            Width = width,
            HorizonSeconds = picture.Hours * 3600,
            Time = new(0, picture.Hours * 3600, left, right),
            Conductivity = new(Math.Max(0, seen.Min() - room), seen.Max() + room, 190, 24),
            Volume = new(0, 1.08 * Math.Max(page.Station.Vessel.BrimLitres, line.Max(at => at.Litres)), 340, 232),
        };
    }

    private static double Height(PlanChart.Picture picture) => 372 + (18 * picture.Marks.Count);

    private static void Axes(PicturePen pen, PictureFrame frame, PlanClock clock)
    {
        pen.Text(0, 13, "Conductivity, µS/cm at 25 °C", "p-caption");
        pen.Text(0, frame.Volume.PixelTo - 11, "Water in the vessel, L", "p-caption");
        foreach (var (rows, about) in new[] { (frame.Conductivity, 4), (frame.Volume, 3) })
        {
            foreach (var value in rows.Ticks(about))
            {
                pen.Line(frame.Left, rows.At(value), frame.Right, rows.At(value), "p-grid");
                pen.Text(frame.Left - PictureFrame.TickGap, rows.At(value) + 4, $"{value:0.##}", "p-tick", "end");
            }
        }

        foreach (var (seconds, at) in frame.Time.ClockTicks(seconds => clock.At(seconds / 3600), frame.Size == PictureSize.Wide ? 9 : 5))
        {
            var x = frame.Time.At(seconds);
            pen.Line(x, frame.Volume.PixelFrom, x, frame.Volume.PixelFrom + 5, "p-axis");
            pen.Text(x, frame.Volume.PixelFrom + 19, $"{at.AddSeconds(30):HH':'mm}", "p-tick", "middle"); // to the nearest minute: a start lies between two
        }

        pen.Line(frame.Left, frame.Volume.PixelFrom, frame.Right, frame.Volume.PixelFrom, "p-axis");
    }

    private static void Conductivity(PicturePen pen, PictureFrame frame, PlanPage page, CourseAt[] line, string id, PictureLabels labels)
    {
        var (y, tank, tolerance) = (frame.Conductivity, page.Picture.TankMicrosiemensPerCm, page.Plan.ToleranceMicrosiemensPerCm);
        if (page.Plan.ReplacedWanted is null) pen.Area([(frame.Left, y.At(Math.Max(y.From, tank - tolerance)), y.At(tank + tolerance)), (frame.Right, y.At(Math.Max(y.From, tank - tolerance)), y.At(tank + tolerance))], "p-even", $"url(#plan-hatch-{id})");
        pen.Line(frame.Left, y.At(tank), frame.Right, y.At(tank), "p-tank");
        pen.Curve([.. line.Select(at => (frame.Time.At(at.Hours * 3600), y.At(at.MicrosiemensPerCm)))], "p-vessel");
        labels.Add(y.At(tank), "tank", "p-name-tank");
        labels.Add(y.At(line[^1].MicrosiemensPerCm), "vessel", "p-name-vessel");
    }

    private static void Water(PicturePen pen, PictureFrame frame, PlanPage page, CourseAt[] line, PictureLabels labels)
    {
        var (y, form) = (frame.Volume, LitresForm.Of(page.Station.Vessel.BrimLitres));
        pen.Line(frame.Left, y.At(page.Picture.MarkLitres), frame.Right, y.At(page.Picture.MarkLitres), "p-mark");
        labels.Add(y.At(page.Picture.MarkLitres), $"mark {page.Picture.MarkLitres.ToString(form)}", "p-name-quiet");
        if (page.Station.Vessel.BrimLitres <= y.To)
        {
            pen.Line(frame.Left, y.At(page.Station.Vessel.BrimLitres), frame.Right, y.At(page.Station.Vessel.BrimLitres), "p-brim");
            labels.Add(y.At(page.Station.Vessel.BrimLitres), $"brim {page.Station.Vessel.BrimLitres.ToString(form)}", "p-name-strong");
        }

        pen.Curve([.. line.Select(at => (frame.Time.At(at.Hours * 3600), y.At(at.Litres)))], "p-level");
        foreach (var drawOff in page.Station.DrawOffs.Where(drawOff => drawOff.AtSeconds < Math.Min(frame.Time.To, page.Picture.StopHours * 3600)))
        {
            var x = frame.Time.At(drawOff.AtSeconds);
            pen.Line(x, y.PixelTo, x, y.PixelFrom, "p-guide");
            pen.Text(Math.Clamp(x, frame.Left + 40, frame.Right - 40), y.PixelFrom - 6, $"draw {drawOff.Litres:0.0#} L", "p-moment", "middle");
        }
    }

    /// <summary>The moments, each on a row of its own below the clock, so that none hides another.</summary>
    private static void Marks(PicturePen pen, PictureFrame frame, PlanPage page, PlanChart.Picture picture)
    {
        for (var i = 0; i < picture.Marks.Count; i++)
        {
            var (hours, name) = picture.Marks[i];
            var (x, y, words) = (frame.Time.At(hours * 3600), frame.Volume.PixelFrom + 40 + (18 * i), $"{page.Clock.Text(hours)} {name}");
            pen.Line(x, frame.Conductivity.PixelTo, x, y - 13, "p-guide");
            pen.Text(Math.Clamp(x, words.Length * Letter, frame.Width - (words.Length * Letter)), y, words, "p-moment", "middle");
        }
    }

    private static string Words(PlanPage page, PlanChart.Picture picture, CourseAt[] line) => string.Join(' ', new[]
    {
        $"From {page.Clock.Text(0)} the vessel goes from {line[0].MicrosiemensPerCm:0} to {line[^1].MicrosiemensPerCm:0} µS/cm; the tank is at {picture.TankMicrosiemensPerCm:0}, and {(page.Plan.ReplacedWanted is { } share ? $"since the two conduct nearly alike they count as even when {100 * share:0} % of it is the tank's" : $"within {page.Plan.ToleranceMicrosiemensPerCm:0.#} they count as even")}.",
        LitresForm.Of(picture.MarkLitres) is var form ? $"Its water goes from {line[0].Litres.ToString(form)} to {line[^1].Litres.ToString(form)} L; its mark is at {picture.MarkLitres.ToString(form)} L." : "",
        string.Join(' ', picture.Marks.Select(mark => $"{page.Clock.Text(mark.Hours)}: {mark.Name}.")),
    });
}
