using Evenwater.Core.Planning;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>The ways to run it side by side, in eighty columns, and below what each asks.</summary>
internal static class WaysText
{
    private const int TitleWidth = 24;

    public static void Write(IAnsiConsole paper, IReadOnlyList<Way> ways, Func<double, string> clock, string litresForm)
    {
        if (ways.Count < 2) return;
        paper.WriteLine();
        paper.MarkupLine($"[bold]{Markup.Escape($"   {"Ways",-TitleWidth} {"fits",-6} {"ready",9} {"ends at",7} {"tank",6} {"waste",6} {"drip/then °C",12}")}[/]");
        for (var i = 0; i < ways.Count; i++) paper.WriteLine(Row(i + 1, ways[i], clock, litresForm));
        paper.WriteLine("tank: taken from it; waste: poured away, drawn or caught; ! out of the temperature's tolerance");
        for (var i = 0; i < ways.Count; i++)
        {
            var still = i > 0 && ways[i].Obstacles.Count > 0 && ways[i].ReadyHours is not null ? $" But: {ways[i].Obstacles[0].Text}" : "";
            paper.WriteLine($"{i + 1,2} {ways[i].Asks}{still}");
        }
    }

    internal static string Row(int number, Way way, Func<double, string> clock, string litresForm)
    {
        var fits = way.Fits ? "yes" : way is { ShortBy: not null, Obstacles.Count: 0 } ? "partly" : "no";
        var ends = way.ReadyHours is not null;
        var warmth = $"{way.SettlesAt.Celsius:0.0}/{way.RestsAt.Celsius:0.0}{(way.TemperatureHolds ? "" : " !")}";
        string Litres(double? litres) => litres is { } known ? $"{known.ToString(known >= 99.95 ? "0" : litresForm)} L" : "-"; // a tenth of a hundred litres has no room
        return $"{number,2} {way.Title,-TitleWidth} {fits,-6} {(ends ? clock(way.ReadyHours!.Value) : "-"),9} {Litres(way.EndLitres),7} {Litres(way.InflowLitres),6} {Litres(way.WasteLitres),6} {warmth,12}".TrimEnd();
    }
}
