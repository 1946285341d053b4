using Evenwater.Core.Quantities;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>Pacing as one of the ways: as the station could have it, with a drip opened wider; or, of a station that has it, the valve held open.</summary>
public static class PacedWay
{
    /// <summary>So many times the drip, where pacing is only proposed: what the pace holds back at first it gives back later.</summary>
    private const double Wider = 3;

    /// <summary>But no more than a dripping line gives, mL/min.</summary>
    private const double MostMillilitresPerMinute = 60;

    /// <summary>The fastest change of conductivity in a planned run, µS/cm an hour: in pulses, and with the valve held open.</summary>
    public static (double Paced, double Open) FastestHours(Station station, Plan plan)
    {
        ArgumentNullException.ThrowIfNull(station);
        ArgumentNullException.ThrowIfNull(plan);
        return Fastest(station, plan.Flow, plan.Course, plan.WhenClosed?.Hours ?? Course.HorizonHours);
    }

    internal static Way? Of(Trial trial)
    {
        var station = trial.Station;
        if (station.Pacing is not null)
        {
            return Alternatives.Make($"held open, {trial.Flow.MillilitresPerMinute:0.##} mL/min", "Begin it --unpaced: the valve stays open, and the water changes fastest at the start.",
                trial.With(station with { Pacing = null }));
        }

        var limits = AnimalLimits.Of(station.Limits);
        var limited = limits.MicrosiemensPerCmPerHour is not null || limits.CelsiusPerHour is not null;
        if (!limited || (trial.Obstacles.Count == 0 && !Breaks(trial, limits))) return null;
        var flow = FlowRate.FromMillilitresPerMinute(Math.Max(RateProposal.Rounded(Math.Min(Wider * trial.Flow.MillilitresPerMinute, MostMillilitresPerMinute)), trial.Flow.MillilitresPerMinute));
        var drip = flow.LitresPerHour > trial.Flow.LitresPerHour ? $"a drip opened to {flow.MillilitresPerMinute:0.##} mL/min: should everything fail open, the vessel also fills that much sooner" : "the drip as it is";
        var paced = trial.With(station with { Pacing = new() { Path = PacePath.Limits }, Drip = station.Drip with { FlowMillilitresPerMinute = flow.MillilitresPerMinute } }, flow).OnceSure();
        var (most, open) = Fastest(paced.Station, flow, paced.Times.Course, paced.WhenClosed?.Hours ?? Course.HorizonHours);
        return Alternatives.Make($"in pulses, {flow.MillilitresPerMinute:0.##} mL/min",
            $"The key pacing, path limits, and {drip}. At most {most:0} µS/cm an hour; the same drip without pulses: {open:0}.",
            paced);
    }

    private static (double Paced, double Open) Fastest(Station station, FlowRate flow, Course paced, double untilHours)
    {
        var open = Course.Of(station with { Pacing = null }, station.Vessel.StartVolumeLitres, flow.LitresPerHour);
        return (CourseSearch.FastestPerHour(paced, at => at.MicrosiemensPerCm, untilHours), CourseSearch.FastestPerHour(open, at => at.MicrosiemensPerCm, untilHours));
    }

    private static bool Breaks(Trial trial, AnimalLimits limits)
    {
        var until = trial.WhenClosed?.Hours ?? Course.HorizonHours;
        return CourseSearch.FastestPerHour(trial.Times.Course, at => at.MicrosiemensPerCm, until) > limits.MicrosiemensPerCmPerHour?.Value
            || CourseSearch.FastestPerHour(trial.Times.Course, at => at.Celsius, until) > limits.CelsiusPerHour?.Value;
    }
}
