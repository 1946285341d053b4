using System.Globalization;
using Evenwater.Commands;
using Evenwater.Core.Planning;
using Evenwater.Core.Telling;
using Evenwater.Terminal;

namespace Evenwater.Page.Planning;

/// <summary>A plan as the page shows it, all in words and drawings.</summary>
public sealed record PlanShown
{
    /// <summary>The answer.</summary>
    public required string Sentence { get; init; }

    /// <summary>What goes with it: pulses, obstacles, whether to leave it alone, what the tank loses.</summary>
    public required IReadOnlyList<string> Says { get; init; }

    /// <summary>The drawing for a telephone.</summary>
    public required string Narrow { get; init; }

    /// <summary>The drawing for anything wider, and for paper.</summary>
    public required string Wide { get; init; }

    /// <summary>What is hatched in them; where the waters conduct alike nothing is.</summary>
    public required string Hatched { get; init; }

    /// <summary>The course in rows: hours, clock, litres, conductivity, temperature.</summary>
    public required IReadOnlyList<IReadOnlyList<string>> Course { get; init; }

    /// <summary>The ways side by side: number, title, fits, ready, ends at, from the tank, waste, temperatures.</summary>
    public required IReadOnlyList<IReadOnlyList<string>> Ways { get; init; }

    /// <summary>What each way asks.</summary>
    public required IReadOnlyList<string> Asks { get; init; }

    /// <summary>What if the keeper is late.</summary>
    public required IReadOnlyList<string> Late { get; init; }

    /// <summary>Whether a long drip is right.</summary>
    public required Advice Advice { get; init; }

    /// <summary>What to mind.</summary>
    public required IReadOnlyList<string> Mind { get; init; }

    /// <summary>All figures.</summary>
    public required IReadOnlyList<(string What, string Value)> Figures { get; init; }

    /// <summary>Of a plan.</summary>
    internal static PlanShown Of(PlanPage page, IReadOnlyList<string> calibrated)
    {
        var (plan, station, clock) = (page.Plan, page.Station, page.Clock);
        var form = LitresForm.Of(plan.Mark.Litres);
        List<string> says = [];
        if (station.Pacing is not null) says.Add(PlanText.InPulses(plan, station));
        says.AddRange(plan.Obstacles.Select(obstacle => obstacle.Text));
        says.Add(PlanText.Alone(plan, station));
        if (plan.WhenClosed is { } end) says.Add(PlanText.Loss(plan, end));
        says.AddRange(plan.UnattendedRefusals.Select(refusal => refusal.ToString()));
        says.AddRange(calibrated);
        return new PlanShown
        {
            Sentence = PlanText.Answer(page),
            Says = says,
            Narrow = PlanPicture.Draw(page, PictureSize.Narrow),
            Wide = PlanPicture.Draw(page, PictureSize.Wide),
            Hatched = plan.ReplacedWanted is { } share ? PictureWords.ByShare(share) : "Hatched: even with the tank.",
            Course = [.. Rows(page.Picture, clock, form)],
            Ways = [.. page.Ways.Select((way, i) => Row(i + 1, way, clock, form))],
            Asks = [.. page.Ways.Select((way, i) => i > 0 && way.Obstacles.Count > 0 && way.ReadyHours is not null ? $"{way.Asks} But: {way.Obstacles[0].Text}" : way.Asks)],
            Late = [.. page.Late.Select(late => LateText.Line(late, clock.Text, form))],
            Advice = plan.Advice,
            Mind = [.. page.Journal.Concat(plan.Cautions).Select(caution => caution.Text)],
            Figures = [.. PlanText.Figures(plan, station)],
        };
    }

    private static IEnumerable<IReadOnlyList<string>> Rows(PlanChart.Picture picture, PlanClock clock, string litresForm)
    {
        const int Rows = 9;
        for (var i = 0; i < Rows; i++)
        {
            var at = picture.Course.At(Math.Min(picture.Hours, picture.StopHours) * i / (Rows - 1));
            yield return [Figure(at.Hours, "0.0"), clock.Text(at.Hours), Figure(at.Litres, litresForm), Figure(at.MicrosiemensPerCm, "0"), Figure(at.Celsius, "0.0")];
        }
    }

    private static IReadOnlyList<string> Row(int number, Way way, PlanClock clock, string litresForm) =>
    [
        number.ToString(CultureInfo.InvariantCulture), way.Title, way.Fits ? "yes" : way is { ShortBy: not null, Obstacles.Count: 0 } ? "partly" : "no",
        way.ReadyHours is { } ready ? clock.Text(ready) : "–", Litres(way.EndLitres, litresForm), Litres(way.InflowLitres, litresForm), Litres(way.WasteLitres, litresForm),
        $"{way.SettlesAt.Celsius:0.0} / {way.RestsAt.Celsius:0.0}{(way.TemperatureHolds ? "" : ", out of tolerance")}",
    ];

    private static string Litres(double? litres, string form) => litres is { } known ? Figure(known, form) : "–";

    private static string Figure(double value, string format) => value.ToString(format, CultureInfo.InvariantCulture);
}
