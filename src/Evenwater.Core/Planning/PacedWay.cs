using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Pacing;
using Evenwater.Core.Quantities;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>The run with the valve in pulses, beside the drip that runs as it runs.</summary>
/// <param name="EvenHours">Even in conductivity and temperature, h; infinite when not within the horizon.</param>
/// <param name="EndLitres">Water in the vessel when closed, L.</param>
/// <param name="InflowLitres">Taken from the tank by then, L.</param>
/// <param name="MostInAnHour">The largest change of conductivity in any one hour, µS/cm.</param>
/// <param name="UnpacedMostInAnHour">The same with the valve open all the time.</param>
public sealed record PacedRun(double EvenHours, double EndLitres, double InflowLitres, double MostInAnHour, double UnpacedMostInAnHour)
{
    /// <summary>The paced run of a station with pacing; null with draw-offs, which are not paced ahead, and without pacing.</summary>
    public static PacedRun? Of(Station station, FlowRate flow)
    {
        ArgumentNullException.ThrowIfNull(station);
        if (station.Pacing is null || station.DrawOffs.Count > 0)
        {
            return null;
        }

        var waters = station.Waters;
        var course = new PacedCourse
        {
            MostLitresPerHour = flow.LitresPerHour,
            Pace = Pace.Of(station, waters.BagMicrosiemensPerCm, waters.TankMicrosiemensPerCm, waters.BagTemperatureCelsius, waters.TankTemperatureCelsius),
            TankMicrosiemensPerCm = waters.TankMicrosiemensPerCm,
            TankCelsius = waters.TankTemperatureCelsius,
            Room = new HeatExchange(station.Vessel.HeatExchangeWattsPerKelvin, station.Room.TemperatureCelsius),
            StandpipeLitres = station.Vessel is { Mode: VesselMode.Standpipe, StandpipeLitres: { } pipe } ? pipe : 0,
            Litres = station.Vessel.StartVolumeLitres,
            MicrosiemensPerCm = waters.BagMicrosiemensPerCm,
            Celsius = waters.BagTemperatureCelsius,
        };
        var most = 0.0;
        var hourAgo = new Queue<(double Hours, double Value)>();
        var even = double.PositiveInfinity;
        var closes = double.PositiveInfinity;
        while (course.Hours < Math.Min(closes, Course.HorizonHours))
        {
            hourAgo.Enqueue((course.Hours, course.MicrosiemensPerCm));
            while (course.Hours - hourAgo.Peek().Hours > 1)
            {
                hourAgo.Dequeue();
            }

            most = Math.Max(most, Math.Abs(course.MicrosiemensPerCm - hourAgo.Peek().Value));
            if (double.IsInfinity(even) && IsEven(course, station))
            {
                (even, closes) = (course.Hours, course.Hours + (station.Match.DwellMinutes / 60));
            }

            course.Step(Math.Min(closes, Course.HorizonHours));
        }

        var open = Planning.Course.Of(station with { Pacing = null }, station.Vessel.StartVolumeLitres, flow.LitresPerHour);
        return new PacedRun(even, course.Litres, course.InflowLitres, most, CourseSearch.LargestHourlyChange(open, at => at.MicrosiemensPerCm, Math.Min(closes, Course.HorizonHours)));
    }

    private static bool IsEven(in PacedCourse course, Station station) =>
        Math.Abs(course.MicrosiemensPerCm - station.Waters.TankMicrosiemensPerCm) <= PlanTimes.Tolerance(station)
        && Math.Abs(course.Celsius - station.Waters.TankTemperatureCelsius) <= station.Match.TemperatureToleranceCelsius;
}

/// <summary>Pacing as one of the ways: as the station has it, or as it could have it, with a drip opened wider.</summary>
internal static class PacedWay
{
    /// <summary>So many times the drip, where pacing is only proposed: what the pace holds back at first it gives back later.</summary>
    private const double Wider = 3;

    /// <summary>But no more than a dripping line gives, mL/min.</summary>
    private const double MostMillilitresPerMinute = 60;

    public static Way? Of(Trial trial)
    {
        var station = trial.Station;
        var configured = station.Pacing is not null;
        var limits = AnimalLimits.Of(station.Limits);
        var limited = limits.MicrosiemensPerCmPerHour is not null || limits.CelsiusPerHour is not null;
        if (!configured && (!limited || (trial.Obstacles.Count == 0 && !Breaks(trial, limits))))
        {
            return null;
        }

        var flow = configured ? trial.Flow : FlowRate.FromMillilitresPerMinute(Math.Max(Math.Min(Wider * trial.Flow.MillilitresPerMinute, MostMillilitresPerMinute), trial.Flow.MillilitresPerMinute));
        var paced = station with { Pacing = station.Pacing ?? new Stations.Pacing { Path = PacePath.Limits } };
        if (PacedRun.Of(paced, flow) is not { } run)
        {
            return null;
        }

        var ready = double.IsInfinity(run.EvenHours) ? (double?)null : run.EvenHours + (station.Match.DwellMinutes / 60);
        var asks = (configured ? "The valve opens in pulses." : $"The key pacing, and a drip opened to {flow.MillilitresPerMinute:0} mL/min: should everything fail open, the vessel also fills that much sooner.")
            + $" At most {run.MostInAnHour:0} µS/cm within an hour; the same drip without pulses: {run.UnpacedMostInAnHour:0}.";
        return Alternatives.Make(WayKind.Paced, $"in pulses, {flow.MillilitresPerMinute:0.##} mL/min", asks, trial) with
        {
            Obstacles = [.. trial.Obstacles.Where(o => o.Kind is not (Obstacle.TooSlow or Obstacle.Deadline or Obstacle.TimeBudget)), .. Slow(run)],
            ReadyHours = ready,
            EndLitres = run.EndLitres,
            InflowLitres = run.InflowLitres,
            WasteLitres = station.Vessel.Mode == VesselMode.Standpipe ? station.Vessel.StartVolumeLitres + run.InflowLitres - run.EndLitres : 0,
        };
    }

    private static bool Breaks(Trial trial, AnimalLimits limits)
    {
        var until = trial.WhenClosed?.Hours ?? Course.HorizonHours;
        return CourseSearch.LargestHourlyChange(trial.Times.Course, at => at.MicrosiemensPerCm, until) > limits.MicrosiemensPerCmPerHour?.Value
            || CourseSearch.LargestHourlyChange(trial.Times.Course, at => at.Celsius, until) > limits.CelsiusPerHour?.Value;
    }

    private static IEnumerable<Remark<Obstacle>> Slow(PacedRun run)
    {
        if (double.IsInfinity(run.EvenHours))
        {
            yield return new(Obstacle.TooSlow, $"At this pace it is not even within {Course.HorizonHours:0} h.");
        }
    }
}
