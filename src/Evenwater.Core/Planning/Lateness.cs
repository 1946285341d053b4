using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>How things stand when the keeper is back, in one of the cases that go other than planned.</summary>
public sealed record Late
{
    /// <summary>Which case, in a few words.</summary>
    public required string Case { get; init; }

    /// <summary>When the keeper is back, h from the start.</summary>
    public required double BackHours { get; init; }

    /// <summary>When the valve closes, h; null when it still drips then.</summary>
    public required double? ClosedHours { get; init; }

    /// <summary>Whether that was a match, and not the mark, a budget, a float or a limit of the animals.</summary>
    public required bool Even { get; init; }

    /// <summary>Whether it closes first because the water changes faster or further than the animals' limits allow.</summary>
    public required bool ByLimit { get; init; }

    /// <summary>Whether the tank falls to its intake first: nothing runs in from then on.</summary>
    public required bool RunsDry { get; init; }

    /// <summary>How many planned draw-offs are not made before it closes, since nobody is there.</summary>
    public required int DrawOffsMissed { get; init; }

    /// <summary>Water in the vessel when the keeper is back, L.</summary>
    public required double LitresAtBack { get; init; }

    /// <summary>Its temperature then, °C.</summary>
    public required double CelsiusAtBack { get; init; }

    /// <summary>Whether that is within the tolerance of the tank.</summary>
    public required bool WarmEnough { get; init; }

    /// <summary>Whether a catch vessel takes what a standpipe lets run off: then it is its rim that counts.</summary>
    public required bool Caught { get; init; }

    /// <summary>If nothing at all closed, when water would run over the rim (with a standpipe, over the catch vessel's), h; null when never before the keeper is back.</summary>
    public required double? OverHours { get; init; }

    /// <summary>And how much by then, L: bounded by what can siphon.</summary>
    public required double SpiltLitres { get; init; }
}

/// <summary>What if the keeper is two hours late, or the drip runs twice as fast?</summary>
public static class Lateness
{
    /// <summary>How late, h.</summary>
    public const double LateHours = 2;

    /// <summary>Less is not told, h.</summary>
    private const double LeastLateHours = 0.1;

    /// <summary>How much faster.</summary>
    public const double FasterTimes = 2;

    /// <summary>Each case and both together; empty when the keeper does not go away.</summary>
    public static IReadOnlyList<Late> Of(Plan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        var wishes = plan.Trial.Wishes;
        if (wishes.BackHours is not { } back) return [];
        var late = Math.Clamp(Course.HorizonHours - back, 0, LateHours); // nothing is reckoned beyond that
        return late < LeastLateHours ? [One("as planned", back, 1), One("the drip runs twice as fast", back, FasterTimes)] :
        [
            One("as planned", back, 1),
            One($"you are {late:0.#} h late", back + late, 1),
            One("the drip runs twice as fast", back, FasterTimes),
            One("both", back + late, FasterTimes),
        ];

        Late One(string name, double hours, double times) => Case(plan.Trial, FlowRate.FromMillilitresPerMinute(Math.Min(times * plan.Flow.MillilitresPerMinute, FlowRate.MaxMillilitresPerMinute)), name, wishes.LeaveHours ?? 0, hours);
    }

    private static Late Case(Trial asPlanned, FlowRate flow, string name, double leave, double back)
    {
        var planned = asPlanned.Station;
        DrawOff[] made = [.. planned.DrawOffs.Where(draw => draw.AtSeconds < 3600 * leave || draw.AtSeconds >= 3600 * back)];
        var station = planned with { DrawOffs = made };
        var trial = flow == asPlanned.Flow && made.Length == planned.DrawOffs.Count ? asPlanned : asPlanned.With(station, flow).OnceSure(thought: asPlanned.Flow);
        var course = trial.Times.Course;
        var even = trial.Sure is { Closes: null } ? double.PositiveInfinity : trial.WhenClosed?.Hours ?? double.PositiveInfinity;
        var full = Math.Min(StationRules.MarkLitres(station.Vessel), station.Floats.HighLitres ?? double.PositiveInfinity); // as the plan is judged by
        var could = Unattended.SiphonLitres(station.Source) ?? double.PositiveInfinity;
        var stopped = CourseSearch.FirstWhen(course, at => at.Litres >= full || at.InflowLitres >= Math.Min(station.Safety.MaxInflowLitres, station.Source.MaxDrawLitres)
            || at.Hours * 60 >= station.Safety.MaxOpenMinutes || at.OutflowLitres >= (station.Vessel.CatchLitres ?? double.PositiveInfinity) || at.Hours >= trial.Sure?.Trips?.Hours);
        var limited = Math.Min(PlanObstacles.TooFastAt(station, course), PlanObstacles.TooFarAt(station, course));
        var dry = CourseSearch.FirstWhen(course, at => at.InflowLitres >= could);
        var before = Math.Min(Math.Min(stopped, limited), dry);
        var closes = Math.Min(even, before);
        var then = course.At(Math.Min(closes, back));
        var celsius = closes < back ? Rested(station, then, back - closes) : then.Celsius;
        // If nothing closed, nothing would rest either.
        var open = station.Pacing is null ? course : Course.Of(station with { Pacing = null }, station.Vessel.StartVolumeLitres, flow.LitresPerHour);
        var (vessel, caught) = (station.Vessel, station.Vessel.Mode == VesselMode.Standpipe ? station.Vessel.CatchLitres : null);
        var brim = CourseSearch.FirstWhen(open, at => caught is { } holds ? at.OutflowLitres >= holds : at.Litres >= vessel.BrimLitres);
        var ranIn = Math.Min(open.At(back).InflowLitres, could);
        var room = caught is { } below ? vessel.StandpipeLitres!.Value - vessel.StartVolumeLitres + below : Unattended.FreeLitres(vessel);
        var spilt = Math.Max(0, ranIn - open.At(back).DrawnLitres - room);
        return new Late
        {
            Case = name,
            BackHours = back,
            ClosedHours = closes <= back ? closes : null,
            Even = even <= Math.Min(before, back),
            ByLimit = limited < Math.Min(Math.Min(even, stopped), dry),
            DrawOffsMissed = planned.DrawOffs.Except(made).Count(draw => draw.AtSeconds < 3600 * Math.Min(closes, back)),
            RunsDry = dry < Math.Min(Math.Min(even, stopped), limited),
            LitresAtBack = then.Litres,
            CelsiusAtBack = celsius,
            WarmEnough = Math.Abs(celsius - station.Waters.TankTemperatureCelsius) <= station.Match.TemperatureToleranceCelsius,
            Caught = caught is not null,
            OverHours = spilt > 0 && brim <= back ? brim : null,
            SpiltLitres = spilt,
        };
    }

    /// <summary>The closed vessel's temperature after some hours in the room; of one that would dry up, while a twentieth of its water is left.</summary>
    private static double Rested(Station station, CourseAt from, double hours)
    {
        var toAir = station.Evaporation.MillilitresPerHour / 1000;
        return new SteadyFlows(0, 0, toAir)
            .Temperature(from.Litres, from.Celsius, from.Celsius, new HeatExchange(station.Vessel.HeatExchangeWattsPerKelvin, station.Room.TemperatureCelsius))
            .ValueAfter(Math.Min(hours, 0.95 * from.Litres / toAir));
    }
}
