using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Pacing;

/// <summary>
/// The forecast of a run whose valve rests at times. The estimator reckons with an open valve; each of its times to the match and to the mark is
/// stretched by what the pace does to a drip of that speed. The probabilities by which the valve closes are left as they are, of a valve that stays open: nothing that protects counts on the rests.
/// </summary>
internal static class PacedForecast
{
    private const double HorizonHours = Quantiles.HorizonSeconds / 3600;

    public static Forecast Of(StationState state, in Forecast open)
    {
        if (state.Pace is not { } pace || !(open.MatchSeconds.P50 > 0) || double.IsInfinity(open.MatchSeconds.P50) || !Now(state, open, pace, out var course))
        {
            return open;
        }

        var tolerance = state.Run!.Prior.ToleranceMicrosiemensPerCm;
        var free = course with { Pace = new Pace(double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity, double.PositiveInfinity) };
        var freely = free.GoUntilEven(tolerance, HorizonHours);
        if (!(freely > 0) || double.IsInfinity(freely))
        {
            return open;
        }

        var stretch = Each(open.MatchSeconds, seconds => Stretch(course, tolerance, freely, seconds / 3600));
        var match = Each(open.MatchSeconds, stretch);
        var mark = StationRules.MarkLitres(state.Station.Vessel);
        return open with
        {
            MatchSeconds = match,
            BrimSeconds = Each(open.BrimSeconds, seconds => ToMark(course, mark, seconds)),
            TemperatureMatchSeconds = open.TemperatureMatchSeconds is { } warm ? Each(warm, stretch) : null,
            JointMatchSeconds = open.JointMatchSeconds is { } joint ? Each(joint, stretch) : null,
        };
    }

    /// <summary>By what factor the pace stretches the time of a drip that would take so long unpaced.</summary>
    private static double Stretch(PacedCourse course, double tolerance, double freely, double hours)
    {
        if (!(hours > 0) || double.IsInfinity(hours))
        {
            return 1;
        }

        var drip = course with { MostLitresPerHour = course.MostLitresPerHour * freely / hours };
        return Math.Max(drip.GoUntilEven(tolerance, HorizonHours) / hours, 1);
    }

    /// <summary>When a drip that would be at the mark in so many seconds is there in pulses, s.</summary>
    private static double ToMark(PacedCourse course, double markLitres, double seconds)
    {
        if (!(seconds > 0) || double.IsInfinity(seconds) || course.StandpipeLitres > 0)
        {
            return seconds;
        }

        var drip = course with { MostLitresPerHour = (markLitres - course.Litres) / (seconds / 3600) };
        return drip.MostLitresPerHour > 0 ? Math.Max(drip.GoUntilFull(markLitres, HorizonHours) * 3600, seconds) : seconds;
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
            FromMicrosiemensPerCm = state.Pacer.FromMicrosiemensPerCm,
            FromCelsius = warm ? state.Pacer.FromCelsius : null,
        };
        return known && (hasTank || state.Run.Prior.TankMicrosiemensPerCm is not null) && course.Litres > 0 && course.MostLitresPerHour > 0;
    }

    private static Quantiles Each(in Quantiles of, Func<double, double> with) => new(with(of.P05), with(of.P25), with(of.P50), with(of.P75), with(of.P95));

    /// <summary>What is so now stays so, also where the pace never lets the conductivity match; and a slow drip is stretched by less, so the order may have to be made anew.</summary>
    private static Quantiles Each(in Quantiles of, in Quantiles by)
    {
        Span<double> all = [Times(of.P05, by.P05), Times(of.P25, by.P25), Times(of.P50, by.P50), Times(of.P75, by.P75), Times(of.P95, by.P95)];
        all.Sort();
        return new(all[0], all[1], all[2], all[3], all[4]);

        static double Times(double seconds, double stretch) => seconds > 0 ? seconds * stretch : seconds;
    }
}
