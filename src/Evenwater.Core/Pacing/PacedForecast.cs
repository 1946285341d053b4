using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Pacing;

/// <summary>
/// The forecast of a run whose valve rests at times. The estimator reckons with an open valve; each of its times to the match is stretched by what the pace does to a
/// drip of that speed. The time to the mark is left as it is: of a valve that stays open, so nothing that protects counts on the rests.
/// </summary>
internal static class PacedForecast
{
    public static Forecast Of(StationState state, in Forecast open)
    {
        if (state.Pace is not { } pace || !(open.MatchSeconds.P50 > 0) || double.IsInfinity(open.MatchSeconds.P50) || !Now(state, open, pace, out var course))
        {
            return open;
        }

        var tolerance = state.Run!.Prior.ToleranceMicrosiemensPerCm;
        var free = course with { Pace = new Pace(double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity) };
        var freely = free.GoUntilEven(tolerance, Course48);
        if (!(freely > 0) || double.IsInfinity(freely))
        {
            return open;
        }

        var middle = open.MatchSeconds.P50;
        var stretch = Each(open.MatchSeconds, seconds => Stretch(course, tolerance, freely, seconds / middle));
        var match = Each(open.MatchSeconds, stretch);
        return open with
        {
            MatchSeconds = match,
            TemperatureMatchSeconds = open.TemperatureMatchSeconds is { } warm ? Each(warm, stretch) : null,
            JointMatchSeconds = open.JointMatchSeconds is { } joint ? Each(joint, stretch) : null,
        };
    }

    private const double Course48 = Quantiles.HorizonSeconds / 3600;

    /// <summary>By what factor the pace stretches the time of a drip that takes <paramref name="slower"/> times as long as the middle one.</summary>
    private static double Stretch(PacedCourse course, double tolerance, double freely, double slower)
    {
        if (!(slower > 0) || double.IsInfinity(slower))
        {
            return 1;
        }

        var drip = course with { MostLitresPerHour = course.MostLitresPerHour / slower };
        return Math.Max(drip.GoUntilEven(tolerance, Course48) / (freely * slower), 1);
    }

    private static bool Now(StationState state, in Forecast open, Pace pace, out PacedCourse course)
    {
        var (readings, station) = (state.Readings, state.Station);
        var known = readings[Channel.VesselConductivity].TryGet(out var vessel);
        var hasTank = readings[Channel.TankConductivity].TryGet(out var tank);
        tank = state.Run!.Prior.TankMicrosiemensPerCm ?? tank;
        var warm = readings[Channel.VesselTemperature].TryGet(out var celsius) & readings[Channel.TankTemperature].TryGet(out var tankCelsius);
        course = new PacedCourse
        {
            MostLitresPerHour = open.FlowMillilitresPerMinute.P50 * 0.06,
            Pace = warm ? pace : pace with { CelsiusPerHour = double.PositiveInfinity },
            TankMicrosiemensPerCm = tank,
            TankCelsius = warm ? tankCelsius : 0,
            Room = new HeatExchange(station.Vessel.HeatExchangeWattsPerKelvin, station.Room.TemperatureCelsius),
            StandpipeLitres = station.Vessel is { Mode: VesselMode.Standpipe, StandpipeLitres: { } pipe } ? pipe : 0,
            Litres = open.VolumeLitres.P50,
            MicrosiemensPerCm = vessel,
            Celsius = warm ? celsius : 0,
        };
        return known && (hasTank || state.Run.Prior.TankMicrosiemensPerCm is not null) && course.Litres > 0 && course.MostLitresPerHour > 0;
    }

    private static Quantiles Each(in Quantiles of, Func<double, double> with) => new(with(of.P05), with(of.P25), with(of.P50), with(of.P75), with(of.P95));

    private static Quantiles Each(in Quantiles of, in Quantiles by) => new(of.P05 * by.P05, of.P25 * by.P25, of.P50 * by.P50, of.P75 * by.P75, of.P95 * by.P95);
}
