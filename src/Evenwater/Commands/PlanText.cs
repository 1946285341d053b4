using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>A plan for people: the answer in plain words first, what to mind next, the figures last.</summary>
internal static class PlanText
{
    public static void Write(IAnsiConsole paper, Station station, Plan plan)
    {
        paper.MarkupLine($"[bold {(plan.Fits ? "green" : "red")}]{Markup.Escape(Answer(plan))}[/]");
        foreach (var obstacle in plan.Obstacles) paper.WriteLine(obstacle.Text);
        foreach (var way in OtherWays(plan)) paper.WriteLine(way);
        paper.WriteLine(Alone(plan, station));
        foreach (var refusal in plan.UnattendedRefusals) paper.WriteLine($"  {refusal}");
        paper.WriteLine();
        paper.MarkupLine("[bold]Mind[/]");
        foreach (var caution in plan.Cautions) paper.WriteLine($"- {caution.Text}");
        paper.WriteLine();
        paper.MarkupLine("[bold]Figures[/]");
        var figures = Figures(plan, station).ToList();
        var widest = figures.Max(figure => figure.What.Length);
        foreach (var (what, value) in figures) paper.WriteLine($"{what.PadRight(widest)}  {value}");
    }

    private static string Answer(Plan plan)
    {
        var simulated = plan.Name.StartsWith(StationRules.SimulatedPrefix, StringComparison.Ordinal) ? " (simulated)" : "";
        if (plan is not { Fits: true, WhenEven: { } even, WhenClosed: { } closed }) 
        {
            var small = plan.Obstacles.Any(o => o.Kind is Obstacle.VesselTooSmall or Obstacle.HighFloatFirst or Obstacle.CatchOverflows);
            return $"{plan.Name}{simulated}: {(small ? "this does not fit." : "this does not end in a match.")}";
        }

        var already = even.Hours == 0 ? "the waters are even already" : $"even with the tank after about {Hours(plan.Even)}";
        return $"{plan.Name}{simulated}: this fits: {already}, at {even.Litres:0.0} L; the valve closes at {closed.Litres:0.0} L of {plan.Mark.Litres:0.0} L.";
    }

    private static IEnumerable<string> OtherWays(Plan plan)
    {
        if (plan.DrawOffs is { DrawOffs: > 0 } staged)
        {
            yield return $"Another way: draw the vessel down to its start volume by hand {(staged.DrawOffs == 1 ? "once, when" : $"{staged.DrawOffs} times, whenever")} it is nearly at its mark; "
                + $"{staged.InflowLitres:0.0} L of tank water and {staged.InflowLitres / plan.Flow.LitresPerHour:0.0} h in all. Someone must be there.";
        }

        if (plan is { StandpipeInflowLitres: { } inflow, StandpipeLitres: { } at })
        {
            yield return $"Another way: a standpipe at {at:0.0} L; {inflow:0.0} L of tank water and {inflow / plan.Flow.LitresPerHour:0.0} h in all, "
                + "and a vessel below that holds what runs through.";
        }
    }

    private static string Alone(Plan plan, Station station)
    {
        var allowed = Unattended.MaxShareOfFreeVolume * Unattended.FreeLitres(station.Vessel);
        var could = plan.SiphonLitres is { } litres ? $"{litres:0.0} L could siphon into it" : "there is no bound on what could siphon into it";
        return plan.UnattendedRefusals.Count == 0
            ? $"Left alone: {could}, within the {allowed:0.0} L it may be. Prove it once with a bucket before you sleep."
            : $"Not to be left alone: {could}, more than the {allowed:0.0} L it may be.";
    }

    private static IEnumerable<(string What, string Value)> Figures(Plan plan, Station station)
    {
        yield return ("drip", $"{plan.Flow.MillilitresPerMinute:0.0##} mL/min{(plan.FlowIsProposed ? ", proposed" : "")} = about {plan.DropsPerMinute:0} drops/min (20 drops = 1 mL within 10 %, ISO 8536-4, if your drop is {station.Drip.DropMillilitres:0.0##} mL)");
        yield return ("a fill alone needs", $"{plan.FillNeedsStartVolumes:0.0} start volumes = {plan.FillNeedsLitres:0.0} L, to come within {plan.ToleranceMicrosiemensPerCm:0.#} µS/cm; {plan.FillHours:0.0} h at this rate, evaporation aside");
        yield return ("conductivity even", Hours(plan.EvenInConductivity));
        yield return ("all even", $"{Hours(plan.Even)}, then {station.Match.DwellMinutes:0} min to be sure");
        yield return ("at its mark", station.Vessel.Mode == VesselMode.Standpipe && double.IsPositiveInfinity(plan.AtMark.Middle) ? "never, while the standpipe runs" : Hours(plan.AtMark));
        if (plan is { WhenEven: { } even, WhenClosed: { } closed })
        {
            yield return ("when even", $"{even.Litres:0.00} L, {even.MicrosiemensPerCm:0} µS/cm, {even.Celsius:0.0} °C");
            yield return ("when closed", $"{closed.Litres:0.00} L after {closed.Hours:0.0} h");
            yield return ("the tank gives", $"{closed.InflowLitres:0.00} L and falls by {plan.SourceFallsMillimetres:0.0} mm; its intake is {station.Source.IntakeDepthMillimetres:0.#} mm deep");
            if (closed.OutflowLitres > 0) yield return ("through the standpipe", $"{closed.OutflowLitres:0.00} L; below it is room for {station.Vessel.CatchLitres:0.0} L");
        }

        for (var i = 0; i < station.DrawOffs.Count; i++)
        {
            var drawOff = station.DrawOffs[i];
            yield return ($"draw-off {i + 1}", $"{drawOff.Litres:0.0##} L after {drawOff.AtSeconds / 3600:0.0#} h, by hand; then evenwater drawn {station.Name} --litres {drawOff.Litres:0.0##}");
        }

        yield return ("temperature settles", $"at {plan.SettlesAt} while it drips (tank {station.Waters.TankTemperatureCelsius:0.0}), at {plan.RestsAt} once closed");
    }

    private static string Hours(HoursRange range)
    {
        if (double.IsPositiveInfinity(range.Middle)) return $"not within {Course.HorizonHours:0} h";
        if (range.Middle == 0) return "at once";
        var late = double.IsPositiveInfinity(range.Late) ? $"more than {Course.HorizonHours:0}" : $"{range.Late:0.0}";
        return $"{range.Middle:0.0} h (9 times in 10 between {range.Early:0.0} and {late} h)";
    }
}
