using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>Answers before a run: does it fit, how fast, how long, what could go wrong.</summary>
public static class Planner
{
    /// <summary>Where a proposed standpipe stands, as a share of the mark.</summary>
    private const double StandpipeShare = 0.9;

    /// <summary>
    /// The plan of a station that <see cref="StationRules"/> passes. Without a measured drip, or with a chosen
    /// <paramref name="evenAfterHours"/> (0.5 to 48 h), it proposes a rate.
    /// </summary>
    public static Plan Make(Station station, double? evenAfterHours = null)
    {
        ArgumentNullException.ThrowIfNull(station);
        if (evenAfterHours is { } chosen) Bounds.Check(chosen, 0.5, Course.HorizonHours, "h", nameof(evenAfterHours));
        var proposed = evenAfterHours is not null || station.Drip.FlowMillilitresPerMinute is null;
        var flow = FlowRate.FromMillilitresPerMinute(proposed
            ? RateProposal.MillilitresPerMinute(station, evenAfterHours ?? RateProposal.UsualHours)
            : station.Drip.FlowMillilitresPerMinute!.Value);
        var times = new PlanTimes(station, flow.LitresPerHour);
        CourseAt? whenEven = double.IsPositiveInfinity(times.Even.Middle) ? null : times.Course.At(times.Even.Middle);
        CourseAt? whenClosed = whenEven is { } even ? times.Course.At(even.Hours + (station.Match.DwellMinutes / 60)) : null;
        var settles = Settles(station, flow.LitresPerHour);
        var rests = Settles(station, 0);
        var fillLitres = Fill.LitresToMatch(station.Vessel.StartVolumeLitres, PlanTimes.Difference(station), times.ToleranceMicrosiemensPerCm);
        var obstacles = PlanObstacles.Of(station, times, whenClosed, settles.Celsius);
        var ammonia = TransitAmmonia.Of(station, whenClosed?.Litres, times.Even.Middle);
        var plan = new Plan
        {
            Name = station.Name,
            Flow = flow,
            FlowIsProposed = proposed,
            DropsPerMinute = DropsPerMinute(station, flow),
            ToleranceMicrosiemensPerCm = times.ToleranceMicrosiemensPerCm,
            FillNeedsLitres = fillLitres,
            FillNeedsStartVolumes = fillLitres / station.Vessel.StartVolumeLitres,
            FillHours = (fillLitres - station.Vessel.StartVolumeLitres) / flow.LitresPerHour,
            Mark = Volume.FromLitres(StationRules.MarkLitres(station.Vessel)),
            EvenInConductivity = times.EvenInConductivity,
            Even = times.Even,
            AtMark = times.AtMark,
            WhenEven = whenEven,
            WhenClosed = whenClosed,
            SourceFallsMillimetres = station.Source.AutomaticTopOff ? 0 : whenClosed?.InflowLitres / station.Source.SurfaceAreaSquareMetres,
            SettlesAt = settles,
            RestsAt = rests,
            SiphonLitres = Unattended.SiphonLitres(station.Source),
            UnattendedRefusals = Unattended.Refusals(station),
            Obstacles = obstacles,
            Ammonia = ammonia,
            Cautions = PlanCautions.Of(station, times, flow, whenClosed, rests.Celsius, ammonia),
        };
        return obstacles.Any(o => o.Kind is Obstacle.VesselTooSmall or Obstacle.HighFloatFirst) ? WithOtherWays(plan, station) : plan;
    }

    /// <summary>A rate in drops per minute of the station's own drop.</summary>
    internal static double DropsPerMinute(Station station, FlowRate flow) => flow.MillilitresPerMinute / station.Drip.DropMillilitres;

    private static Temperature Settles(Station station, double litresPerHour)
    {
        var room = new HeatExchange(station.Vessel.HeatExchangeWattsPerKelvin, station.Room.TemperatureCelsius);
        var celsius = new SteadyFlows(litresPerHour, 0, station.Evaporation.MillilitresPerHour / 1000)
            .Temperature(station.Vessel.StartVolumeLitres, station.Waters.BagTemperatureCelsius, station.Waters.TankTemperatureCelsius, room).SettlesAt;
        // Strong evaporation with next to no exchange has no sensible answer; the air's humidity would stop it.
        return Temperature.FromCelsius(Math.Clamp(celsius, Temperature.MinCelsius, Temperature.MaxCelsius));
    }

    private static Plan WithOtherWays(Plan plan, Station station)
    {
        var vessel = station.Vessel;
        var difference = PlanTimes.Difference(station);
        var usable = Math.Min(plan.Mark.Litres, station.Floats.HighLitres - (3 * station.Floats.PositionSdLitres) ?? double.PositiveInfinity);
        double? standpipe = vessel.Mode == VesselMode.Fill && StandpipeShare * usable > vessel.StartVolumeLitres ? StandpipeShare * usable : null;
        return plan with
        {
            DrawOffs = Staged.Plan(vessel.StartVolumeLitres, usable, difference, plan.ToleranceMicrosiemensPerCm),
            StandpipeLitres = standpipe,
            StandpipeInflowLitres = standpipe is { } at
                ? Standpipe.InflowToMatchLitres(vessel.StartVolumeLitres, at, difference, plan.ToleranceMicrosiemensPerCm)
                : null,
        };
    }
}
