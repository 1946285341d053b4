using Evenwater.Core.Planning;
using Evenwater.Core.Telling;

namespace Evenwater.Terminal;

/// <summary>A planned course in characters: conductivity above, water in the vessel below, over the clock. Lines are told apart by their names, not by colour.</summary>
internal static class PlanChart
{
    private const int Margin = 7;
    private const int Names = 12;
    private const int ConductivityRows = 6;
    private const int LevelRows = 4;
    private const int LeastPlot = 24;

    /// <summary>So many points along the time.</summary>
    private const int Points = 120;

    /// <summary>Rows of the table that stands in for the chart.</summary>
    private const int TableRows = 6;

    /// <summary>What is drawn.</summary>
    /// <param name="Course">The course.</param>
    /// <param name="Hours">How far, h.</param>
    /// <param name="StopHours">When the valve closes, h: from then on the water stands; infinite when it does not.</param>
    /// <param name="TankMicrosiemensPerCm">The tank.</param>
    /// <param name="MarkLitres">The mark.</param>
    /// <param name="Marks">Moments to name below, such as when it is ready.</param>
    public sealed record Picture(Course Course, double Hours, double StopHours, double TankMicrosiemensPerCm, double MarkLitres, IReadOnlyList<(double Hours, string Name)> Marks);

    /// <summary>The chart; empty where there is no room for one.</summary>
    public static IEnumerable<string> Draw(Picture picture, int columns, bool unicode, Func<double, string> clock)
    {
        var plot = columns - Margin - Names;
        if (plot < LeastPlot) return [];
        var line = Enumerable.Range(0, Points + 1).Select(i => picture.Course.At(Math.Min(picture.StopHours, picture.Hours * i / Points))).ToArray();
        var tank = picture.TankMicrosiemensPerCm;
        var conductivity = Span(line.Select(at => at.MicrosiemensPerCm).Append(tank));
        var level = (From: 0.0, To: Math.Max(line.Max(at => at.Litres), picture.MarkLitres) * 1.05);
        return
        [
            "Conductivity, µS/cm at 25 °C",
            .. Part(line, plot, ConductivityRows, unicode, at => at.MicrosiemensPerCm, conductivity, tank, "tank", "vessel", '-'),
            "Water in the vessel, L",
            .. Part(line, plot, LevelRows, unicode, at => at.Litres, level, picture.MarkLitres, $"mark {picture.MarkLitres.ToString(LitresForm.Of(picture.MarkLitres))}", "", '='),
            .. Clocks(picture, plot, clock),
        ];
    }

    /// <summary>The same in a few lines of plain text.</summary>
    public static IEnumerable<string> Table(Picture picture, Func<double, string> clock) => Enumerable.Range(0, TableRows)
        .Select(i => Math.Min(picture.Hours, picture.StopHours) * i / (TableRows - 1))
        .Select(hours => picture.Course.At(hours))
        .Select(at => $"after {at.Hours,4:0.0} h, {clock(at.Hours),9}: {at.Litres.ToString(LitresForm.Of(picture.MarkLitres)),6} L, {at.MicrosiemensPerCm,6:0} µS/cm, {at.Celsius,4:0.0} °C")
        .Concat(picture.Marks.Select(mark => $"after {mark.Hours,4:0.0} h, {clock(mark.Hours),9}: {mark.Name}"));

    private static IEnumerable<string> Part(
        CourseAt[] line, int plot, int rows, bool unicode, Func<CourseAt, double> value, (double From, double To) range, double level, string levelName, string name, char levelMark)
    {
        var dots = new DotGrid(plot, rows, unicode);
        double Y(double v) => (dots.Height - 1) * (range.To - v) / (range.To - range.From);
        for (var x = 0; x < dots.Width; x += 3) dots.Set(x, Y(level), levelMark);
        dots.Line([.. line.Select((at, i) => ((double)(dots.Width - 1) * i / Points, Y(value(at))))], '*');
        var lines = dots.ToLines();
        var (levelRow, nameRow) = (Row(Y(level)), Row(Y(value(line[^1]))));
        for (var i = 0; i < lines.Length; i++)
        {
            var edge = i == 0 ? TerminalChart.Edge(range.To, range.To) : i == lines.Length - 1 ? TerminalChart.Edge(range.From, range.To) : "";
            var names = string.Join('/', new[] { (nameRow, name), (levelRow, levelName) }.Where(n => n.Item1 == i && n.Item2.Length > 0).Select(n => n.Item2));
            yield return $"{edge,Margin - 1} {lines[i]} {names}".TrimEnd();
        }

        static int Row(double y) => (int)Math.Round(y) / DotGrid.DotsPerRow;
    }

    /// <summary>The clock along the time, and below it what happens when.</summary>
    private static IEnumerable<string> Clocks(Picture picture, int plot, Func<double, string> clock)
    {
        var line = new string(' ', plot + Margin + Names).ToCharArray();
        TerminalChart.Put(line, Margin, clock(0));
        var middle = clock(picture.Hours / 2);
        TerminalChart.Put(line, Margin + ((plot - middle.Length) / 2), middle);
        var end = clock(picture.Hours);
        TerminalChart.Put(line, Margin + plot - end.Length, end);
        yield return new string(line).TrimEnd();
        foreach (var (hours, name) in picture.Marks)
        {
            var row = new string(' ', plot + Margin + Names).ToCharArray();
            var words = $"^ {clock(hours)} {name}";
            var at = Margin + (int)Math.Round((plot - 1) * Math.Clamp(hours / picture.Hours, 0, 1));
            // Where it would not fit to the right of its moment it stands to the left of it.
            if (at + words.Length <= row.Length) TerminalChart.Put(row, at, words);
            else TerminalChart.Put(row, Math.Max(0, at + 1 - words.Length), $"{clock(hours)} {name} ^");
            yield return new string(row).TrimEnd();
        }
    }

    private static (double From, double To) Span(IEnumerable<double> values)
    {
        var all = values.ToArray();
        var (low, high) = (all.Min(), all.Max());
        var air = Math.Max((high - low) * 0.05, Math.Max(high, 1) * 0.005);
        return (Math.Max(0, low - air), high + air);
    }
}
