using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;

namespace Evenwater.Core.Planning;

/// <summary>Judges a course against what the station has room, time and water for.</summary>
internal static class PlanObstacles
{
    /// <summary>As much of a limit as pacing keeps to by itself.</summary>
    private const double NearShare = 0.95;

    public static IReadOnlyList<Remark<Obstacle>> Of(Trial trial)
    {
        var (station, times, whenClosed) = (trial.Station, trial.Times, trial.WhenClosed);
        var found = new List<Remark<Obstacle>>();
        void Add(Obstacle kind, string text) => found.Add(new(kind, text));

        var mark = StationRules.MarkLitres(station.Vessel);
        foreach (var (key, text) in FrontEndReach.TooShort(station)) Add(Obstacle.BeyondProbe, $"The run would not begin: {key} {text}");
        if (times.Course.DrawnDry) Add(Obstacle.DrawOffTooLarge, "A planned draw-off takes more water than would be in the vessel.");
        // Where only the temperature is missing, the conductivity's moment is what the mark must not precede.
        var wanted = whenClosed?.Hours ?? Math.Min(times.EvenInConductivity.Middle, Course.HorizonHours);
        if (times.AtMark.Middle <= wanted)
        {
            var (needs, full) = Beyond.Of(whenClosed?.Litres ?? mark, mark, LitresForm.Of(mark));
            var need = whenClosed is not null && station.DrawOffs.Count == 0 ? $", and a match needs {needs} L" : "";
            Add(Obstacle.VesselTooSmall, $"The vessel would be at its mark, {full} L, after {times.AtMark.Middle:0.0} h, before it is even{need}.");
        }

        var tooFar = TooFar(station, times.Course, whenClosed).ToList();
        foreach (var text in TooFast(station, times, whenClosed?.Hours).Concat(tooFar)) Add(Obstacle.AnimalLimit, $"{text}, and the valve closes there.");
        if (whenClosed is not { } closed)
        {
            if (tooFar.Count > 0) return found;
            if (double.IsPositiveInfinity(times.EvenInConductivity.Middle))
                Add(Obstacle.TooSlow, $"At this rate the conductivity is not even within {Course.HorizonHours:0} h.");
            else
                Add(Obstacle.TemperatureStops, TemperatureText(station, trial.SettlesAt.Celsius));
            return found;
        }

        if (station.Floats.HighLitres is { } high && high < mark && closed.Litres >= high)
            Add(Obstacle.HighFloatFirst, Told(closed.Litres, high, (match, at) => $"The high float at {at} L turns wet before the match at {match} L, and closes the valve."));
        if (closed.Hours > trial.Wishes.DoneByHours)
            Add(Obstacle.Deadline, Told(closed.Hours, trial.Wishes.DoneByHours!.Value, (done, by) => $"It is done after {done} h; you want it done after {by} h."));
        if (closed.Hours * 60 > station.Safety.MaxOpenMinutes)
            Add(Obstacle.TimeBudget, Told(closed.Hours, station.Safety.MaxOpenMinutes / 60, (match, budget) => $"The time budget of {budget} h ends before the match at {match} h."));
        if (closed.InflowLitres > station.Safety.MaxInflowLitres)
            Add(Obstacle.VolumeBudget, Told(closed.InflowLitres, station.Safety.MaxInflowLitres, (takes, budget) => $"The volume budget of {budget} L ends before the match, which takes {takes} L."));
        if (closed.InflowLitres > station.Source.MaxDrawLitres)
            Add(Obstacle.SourceDraw, Told(closed.InflowLitres, station.Source.MaxDrawLitres, (takes, most) => $"The match takes {takes} L from the tank, which may lose {most} L."));
        if (Unattended.SiphonLitres(station.Source) is { } siphons && closed.InflowLitres > siphons)
        {
            // Where nothing else is in the way: litres on a square metre are millimetres.
            var deeper = found.Count > 0 ? "" : $" Set it to {Math.Ceiling(station.Source.IntakeDepthMillimetres + ((closed.InflowLitres - siphons) / station.Source.SurfaceAreaSquareMetres)):0} mm below the surface or more, or begin with less bag water.";
            Add(Obstacle.IntakeRunsDry, Told(closed.InflowLitres, siphons, (takes, most) => $"The tank falls to its intake after {most} L; the match takes {takes} L.{deeper}"));
        }

        if (TankLoss.Of(station, closed) is { HeaterExposed: true } loss)
            Add(Obstacle.HeaterExposed, $"The tank falls by {loss.FallsMillimetres:0} mm and its heater must stay {loss.HeaterTopMillimetres:0} mm below the surface: it would be uncovered. Refill, lower the heater, or take less.");
        if (closed.OutflowLitres > (station.Vessel.CatchLitres ?? double.PositiveInfinity))
            Add(Obstacle.CatchOverflows, Told(closed.OutflowLitres, station.Vessel.CatchLitres!.Value, (runs, holds) => $"{runs} L run through the standpipe; the catch vessel holds {holds} L."));
        if (trial.Sure is { Trips: { } trips } && !found.Any(o => o.Kind is Obstacle.VesselTooSmall or Obstacle.HighFloatFirst))
            Add(Obstacle.ForecastFirst, $"By what is known the program's own forecast would close at {trips.Litres.ToString(LitresForm.Of(mark))} L after {trips.Hours:0.0} h, before it is sure that the waters are even: {PlanCautions.Better(station)}");
        if (trial.Sure is { Closes: null, Trips: null })
            Add(Obstacle.NeverSure, $"By what is known the program would not be sure within {Course.HorizonHours:0} h that the waters are even, and would drip on to its mark or a budget: {PlanCautions.Better(station)}");
        return found;
    }

    private static string Told(double value, double limit, Func<string, string, string> text) => Beyond.Of(value, limit, "0.0") is var (beyond, most) ? text(beyond, most) : "";

    /// <summary>Whether the valve, held open, may close for the animals' sake though the calculation stays within their limits: a probe reads a per cent or two wrong.</summary>
    internal static bool IsNearLimit(Station station, PlanTimes times, CourseAt? whenClosed) => station.Pacing is null
        && TooFast(station, times, whenClosed?.Hours, NearShare).Concat(TooFar(station, times.Course, whenClosed, NearShare)).Any();

    /// <summary>What changes faster than the animals' limits for an hour allow, as the running program judges it; a paced run is let go on by a little more.</summary>
    internal static IEnumerable<string> TooFast(Station station, PlanTimes times, double? closedHours, double share = 1)
    {
        var (limits, until) = (AnimalLimits.Of(station.Limits), closedHours ?? Course.HorizonHours);
        var most = share * Allowed(station);
        var conductivity = CourseSearch.FastestPerHour(times.Course, at => at.MicrosiemensPerCm, until);
        if (conductivity > most * limits.MicrosiemensPerCmPerHour?.Value)
            yield return $"The conductivity changes by up to {PlanCautions.Over(conductivity, limits.MicrosiemensPerCmPerHour, "0", " µS/cm an hour; the limit is ", "0.#")}";
        var celsius = CourseSearch.FastestPerHour(times.Course, at => at.Celsius, until);
        if (celsius > most * limits.CelsiusPerHour?.Value)
            yield return $"The temperature changes by up to {PlanCautions.Over(celsius, limits.CelsiusPerHour, "0.0", " °C an hour; the limit is ", "0.##")}";
    }

    /// <summary>When the valve closes because the water changes faster than the animals' limits for an hour allow, h; infinite when it does not.</summary>
    internal static double TooFastAt(Station station, Course course)
    {
        var (limits, most) = (AnimalLimits.Of(station.Limits), Allowed(station));
        return Math.Min(
            CourseSearch.FirstFaster(course, at => at.MicrosiemensPerCm, most * limits.MicrosiemensPerCmPerHour?.Value),
            CourseSearch.FirstFaster(course, at => at.Celsius, most * limits.CelsiusPerHour?.Value));
    }

    /// <summary>When the valve closes because the water has changed further than one run may, h; where a paced one's rests there, ten minutes after. Infinite when it does not.</summary>
    internal static double TooFarAt(Station station, Course course)
    {
        var (limits, waters, first) = (AnimalLimits.Of(station.Limits), station.Waters, course.At(CourseSearch.First));
        var passed = CourseSearch.FirstWhen(course, at => Math.Abs(at.MicrosiemensPerCm - first.MicrosiemensPerCm) > limits.TotalMicrosiemensPerCm?.Value
            || Math.Abs(at.Celsius - first.Celsius) > limits.TotalCelsius?.Value, CourseSearch.First) + CourseSearch.First;
        if (station.Pacing is not { ShareOfLimit: var share }) return passed;
        var rests = CourseSearch.FirstWhen(course, at =>
            Rests(at.MicrosiemensPerCm - waters.BagMicrosiemensPerCm, waters.TankMicrosiemensPerCm - waters.BagMicrosiemensPerCm, share * limits.TotalMicrosiemensPerCm?.Value)
            || Rests(at.Celsius - waters.BagTemperatureCelsius, waters.TankTemperatureCelsius - waters.BagTemperatureCelsius, share * limits.TotalCelsius?.Value));
        return Math.Min(passed, rests + (TripCause.PathEndedSeconds / 3600));
    }

    private static double Allowed(Station station) => station.Pacing is null ? 1 : TripCause.PacedMargin;

    private static IEnumerable<string> TooFar(Station station, Course course, CourseAt? whenClosed, double share = 1)
    {
        var limits = AnimalLimits.Of(station.Limits);
        var (conductivity, temperature) = whenClosed is { } closed && course.At(CourseSearch.First) is var first
            ? (Math.Abs(closed.MicrosiemensPerCm - first.MicrosiemensPerCm), Math.Abs(closed.Celsius - first.Celsius))
            : station.Pacing is { } pacing ? RestsFor(station, course, limits, pacing.ShareOfLimit) : (0, 0);
        if (conductivity > share * limits.TotalMicrosiemensPerCm?.Value)
            yield return $"The match is further off in conductivity than one run may go, {PlanCautions.Told(limits.TotalMicrosiemensPerCm, "0", "µS/cm")}";
        if (temperature > share * limits.TotalCelsius?.Value)
            yield return $"The match is further off in temperature than one run may go, {PlanCautions.Told(limits.TotalCelsius, "0.#", "°C")}";
    }

    /// <summary>Of a paced run that comes to no match: how far the tank lies from the bag where its valve rests because one run may go no further; infinite then.</summary>
    private static (double MicrosiemensPerCm, double Celsius) RestsFor(Station station, Course course, AnimalLimits limits, double share)
    {
        var (first, last, waters) = (course.At(0), course.At(Course.HorizonHours), station.Waters);
        return (Apart(last.MicrosiemensPerCm - first.MicrosiemensPerCm, waters.TankMicrosiemensPerCm - first.MicrosiemensPerCm, share * limits.TotalMicrosiemensPerCm?.Value),
            Apart(last.Celsius - first.Celsius, waters.TankTemperatureCelsius - first.Celsius, share * limits.TotalCelsius?.Value));

        static double Apart(double went, double wanted, double? most) => Rests(went, wanted, most) ? double.PositiveInfinity : 0;
    }

    /// <summary>Whether a paced valve rests where it went so far, because the run may go no further; evaporation takes a resting valve's water back by a little.</summary>
    private static bool Rests(double went, double wanted, double? most) => Math.Abs(wanted) > most && Math.Abs(went) > 0.99 * most;

    private static string TemperatureText(Station station, double settlesCelsius)
    {
        var apart = Math.Abs(settlesCelsius - station.Waters.TankTemperatureCelsius);
        return apart > station.Match.TemperatureToleranceCelsius
            ? $"The conductivity will match, the temperature will stop at {settlesCelsius:0.0} °C, {apart:0.0} °C from the tank's."
            : $"The conductivity will match, but the temperature is not within {station.Match.TemperatureToleranceCelsius:0.0} °C of the tank's within {Course.HorizonHours:0} h.";
    }
}
