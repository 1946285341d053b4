using Evenwater.Core.Estimation;
using Evenwater.Core.Planning;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Terminal;
using Spectre.Console;

namespace Evenwater.Commands;

/// <summary>A plan for people: the answer in one sentence, the picture, the ways side by side, what to mind; the figures only when more is asked for.</summary>
internal static class PlanText
{
    private const int MostColumns = 100;

    public static void Write(IAnsiConsole paper, PlanPage page, bool more, bool chart)
    {
        var (station, plan) = (page.Station, page.Plan);
        paper.MarkupLine($"[bold {(plan.Fits ? "green" : "red")}]{Markup.Escape(Answer(page))}[/]");
        if (station.Pacing is not null) paper.WriteLine(InPulses(plan, station));
        foreach (var obstacle in plan.Obstacles) paper.WriteLine(obstacle.Text);
        paper.WriteLine(Alone(plan, station));
        if (plan.WhenClosed is { } end) paper.WriteLine(Loss(plan, end));
        foreach (var refusal in plan.UnattendedRefusals) paper.WriteLine($"  {refusal}");
        paper.WriteLine();
        foreach (var line in chart
            ? PlanChart.Draw(page.Picture, Math.Min(paper.Profile.Width - 1, MostColumns), paper.Profile.Capabilities.Unicode, page.Clock.Text)
            : PlanChart.Table(page.Picture, page.Clock.Text)) paper.WriteLine(line);
        if (page.Ways.Count < 2)
        {
            paper.WriteLine();
            paper.WriteLine(page.Ways[0].Asks);
        }

        WaysText.Write(paper, page.Ways, page.Clock.Text, LitresForm.Of(plan.Mark.Litres));
        LateText.Write(paper, page.Late, page.Clock.Text, LitresForm.Of(plan.Mark.Litres));
        Advise(paper, plan, more);
        paper.WriteLine();
        paper.MarkupLine("[bold]Mind[/]");
        foreach (var caution in page.Journal.Concat(plan.Cautions)) paper.WriteLine($"- {caution.Text}");
        if (more) Figure(paper, page);
    }

    internal static string Answer(PlanPage page)
    {
        var plan = page.Plan;
        var simulated = StationRules.IsSimulated(plan.Name) ? " (simulated)" : "";
        if (plan is not { Fits: true, WhenEven: { } even, WhenClosed: { } closed })
        {
            var small = plan.Obstacles.Any(o => o.Kind is Obstacle.VesselTooSmall or Obstacle.HighFloatFirst or Obstacle.CatchOverflows);
            var late = plan.Obstacles.Count == 1 && plan.Obstacles[0].Kind == Obstacle.Deadline;
            var unsure = plan.Obstacles.Count == 1 && plan.Obstacles[0].Kind == Obstacle.ForecastFirst;
            var bare = plan.Obstacles.Count == 1 && plan.Obstacles[0].Kind == Obstacle.HeaterExposed; // nothing closes for that
            return $"{plan.Name}{simulated}: {(late ? "this fits, but not in time." : bare ? "this fits, but would uncover the tank's heater." : unsure ? "there is room for this, but the program would close before it is sure." : small ? "this does not fit." : "this does not end in a match.")}";
        }

        var form = LitresForm.Of(plan.Mark.Litres);
        return $"{plan.Name}{simulated}: this fits: even with the tank after about {Hours(plan.Even)}, at {even.Litres.ToString(form)} L. Begun at {page.Clock.Text(0)} it is ready at {page.Clock.Text(closed.Hours)}{(plan.IsOnceSure ? ", once that is sure" : "")}; "
            + $"the valve closes at {closed.Litres.ToString(form)} L of {plan.Mark.Litres.ToString(form)} L.";
    }

    /// <summary>What the pulses are for: the fastest half hour with and without them.</summary>
    internal static string InPulses(Plan plan, Station station)
    {
        var (paced, open) = PacedWay.FastestHours(station, plan);
        return $"The valve opens in pulses (pacing): the conductivity changes by at most {paced:0} µS/cm an hour; the same drip with the valve held open: {open:0}.";
    }

    /// <summary>What the tank loses, and what of the bag's water is left in the vessel.</summary>
    internal static string Loss(Plan plan, CourseAt end)
    {
        var heater = plan.TankLoss switch
        {
            { HeaterTopMillimetres: null } => "",
            { HeaterExposed: true } => "; its heater would be uncovered",
            _ => "; its heater stays covered",
        };
        var left = string.Join(", ", plan.Residuals.Select(r => r.What.Split(',') is [var what, var unit]
            ? unit == " without air" ? $"{what} {r.AtEnd.Low:0.0} to {r.AtEnd.High:0.0}" : $"{what} {r.AtEnd.Middle:0.0#}{unit}{(r.Tank > 0 ? $" (tank {r.Tank:0.0#})" : "")}"
            : ""));
        var gives = plan.Obstacles.Any(o => o.Kind is Obstacle.SourceDraw or Obstacle.IntakeRunsDry) ? ("For a match the tank would have to give", "fall") : ("The tank gives", "falls");
        return $"{gives.Item1} {end.InflowLitres.ToString(LitresForm.Of(plan.Mark.Litres))} L and {gives.Item2} by {plan.TankLoss.FallsMillimetres:0} mm{heater}. {100 * Math.Clamp(end.BagShare, 0, 1):0} % of the vessel's water is then still the bag's{(left.Length > 0 ? $": {left}" : "")}.";
    }

    private static void Advise(IAnsiConsole paper, Plan plan, bool more)
    {
        paper.WriteLine();
        paper.MarkupLine($"[bold]Is a long drip right?[/] {Markup.Escape(plan.Advice.Sentence)}");
        var most = more ? int.MaxValue : 2;
        foreach (var reason in plan.Advice.For.Take(most)) paper.WriteLine($"+ {reason}");
        foreach (var reason in plan.Advice.Against.Take(most)) paper.WriteLine($"- {reason}");
        paper.WriteLine(more ? Advice.Weakness : "The evidence is weak (--more); you know your animals.");
    }

    internal static string Alone(Plan plan, Station station)
    {
        var allowed = Unattended.MaxShareOfFreeVolume * Unattended.FreeLitres(station.Vessel);
        var form = LitresForm.Of(station.Vessel.BrimLitres);
        var (over, most) = Beyond.Of(plan.SiphonLitres ?? 0, allowed, form);
        return (plan.UnattendedRefusals.Count, plan.SiphonLitres) switch
        {
            (_, null) => $"Not to be left alone: there is no bound on what could siphon into it, and {allowed.ToString(form)} L are the most that may.",
            (0, { } could) => $"Left alone: {could.ToString(form)} L could siphon into it, within the {allowed.ToString(form)} L it may be. Prove it once with a bucket before you sleep.",
            _ => $"Not to be left alone: {over} L could siphon into it, more than the {most} L it may be.",
        };
    }

    private static void Figure(IAnsiConsole paper, PlanPage page)
    {
        paper.WriteLine();
        paper.MarkupLine("[bold]Figures[/]");
        var figures = Figures(page.Plan, page.Station).ToList();
        var widest = figures.Max(figure => figure.What.Length);
        foreach (var (what, value) in figures) paper.WriteLine($"{what.PadRight(widest)}  {value}");
        if (page.Plan.Ammonia is { } ammonia)
        {
            paper.WriteLine();
            paper.WriteLine(ammonia.Text);
        }
    }

    internal static IEnumerable<(string What, string Value)> Figures(Plan plan, Station station)
    {
        yield return ("drip", $"{plan.Flow.MillilitresPerMinute:0.0##} mL/min{(plan.FlowIsProposed ? ", proposed" : "")} = about {HowMany.Of((long)Math.Round(plan.DropsPerMinute), "drop")}/min (20 drops = 1 mL within 10 %, ISO 8536-4, if your drop is {station.Drip.DropMillilitres:0.0##} mL)");
        yield return ("a fill alone needs", $"{plan.FillNeedsStartVolumes:0.0} start volumes = {plan.FillNeedsLitres.ToString(LitresForm.Of(plan.Mark.Litres))} L, {(plan.ReplacedWanted is { } share ? $"for {100 * share:0} % of it to be the tank's" : $"to come within {plan.ToleranceMicrosiemensPerCm:0.#} µS/cm")}; {plan.FillHours:0.0} h at this rate, evaporation aside");
        yield return ("the drip falls", station.Drip.HeadMetres is { } head ? $"to {100 * (plan.Course.At(Math.Min((plan.WhenClosed?.Hours ?? 8) + 1, Course.HorizonHours)).InflowLitres - plan.Course.At(plan.WhenClosed?.Hours ?? 8).InflowLitres) / plan.Flow.LitresPerHour:0} % as the head of {head:0.##} m shrinks" : "not reckoned: drip.headMetres is not given; a night of a metre's head ends 5 to 10 % later");
        yield return (plan.ReplacedWanted is null ? "conductivity even" : "water replaced", Hours(plan.EvenInConductivity));
        yield return ("all even", Hours(plan.Even) + (plan.WhenEven is null ? "" : $", then {(plan.IsOnceSure ? "on until that is sure" : $"{station.Match.DwellMinutes:0} min to be sure")}"));
        yield return ("at its mark", station.Vessel.Mode == VesselMode.Standpipe && double.IsPositiveInfinity(plan.AtMark.Middle) ? "never, while the standpipe runs" : Hours(plan.AtMark));
        if (plan is { WhenEven: { } even, WhenClosed: { } closed })
        {
            yield return ("when even", $"{even.Litres:0.00} L, {even.MicrosiemensPerCm:0} µS/cm, {even.Celsius:0.0} °C");
            yield return ("when closed", $"{closed.Litres:0.00} L after {closed.Hours:0.0} h");
            yield return ("the tank gives", $"{closed.InflowLitres:0.00} L, {100 * closed.InflowLitres / station.Source.VolumeLitres:0.#} % of it, and falls by {plan.TankLoss.FallsMillimetres:0.0} mm; its intake is {station.Source.IntakeDepthMillimetres:0.#} mm deep{(plan.TankLoss.HeaterTopMillimetres is { } heater ? $", its heater needs {heater:0.#}" : "")}");
            if (closed.OutflowLitres > 0) yield return ("through the standpipe", $"{closed.OutflowLitres:0.00} L; below it is room for {station.Vessel.CatchLitres:0.0} L");
        }

        if (plan.Oxygen is { } oxygen)
            yield return ("oxygen lasts", $"{oxygen.FirstHours.Middle:0.0} h in the first water ({oxygen.FirstHours.Low:0.0} to {oxygen.FirstHours.High:0.0}), if none comes from the air");
        foreach (var residual in plan.Residuals)
            yield return (residual.What, $"bag {residual.Bag:0.0#}, tank {residual.Tank:0.0#}, at the end {residual.AtEnd.Middle:0.0#}{(residual.AtEnd.High > residual.AtEnd.Low ? $" ({residual.AtEnd.Low:0.0#} to {residual.AtEnd.High:0.0#})" : "")}");
        for (var i = 0; i < station.DrawOffs.Count; i++)
        {
            var drawOff = station.DrawOffs[i];
            yield return ($"draw-off {i + 1}", $"{drawOff.Litres:0.0##} L after {drawOff.AtSeconds / 3600:0.0#} h, by hand; then evenwater drawn {station.Name} --litres {drawOff.Litres:0.0##}");
        }

        yield return ("temperature settles", $"at {plan.SettlesAt.Celsius:0.0} °C while it drips (tank {station.Waters.TankTemperatureCelsius:0.0}), at {plan.RestsAt.Celsius:0.0} once closed");
    }

    private static string Hours(HoursRange range)
    {
        if (double.IsPositiveInfinity(range.Middle)) return $"not within {Course.HorizonHours:0} h";
        if (range.Middle == 0) return "at once";
        var late = double.IsPositiveInfinity(range.Late) ? $"more than {Course.HorizonHours:0}" : $"{range.Late:0.0}";
        return $"{range.Middle:0.0} h (9 times in 10 between {range.Early:0.0} and {late} h)";
    }
}
