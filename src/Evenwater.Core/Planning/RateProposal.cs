using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>A drip rate for a station that has none, or for a chosen duration.</summary>
internal static class RateProposal
{
    /// <summary>A night, when nothing else was chosen, h. Common practice, no source.</summary>
    public const double UsualHours = 8;

    private const double LeastMillilitresPerMinute = 0.05;
    private const double MostMillilitresPerMinute = 1000;
    private const int Halvings = 40;

    /// <summary>The slowest rate that is even in conductivity within <paramref name="hours"/>, but no faster than the station's limit on conductivity; mL/min.</summary>
    public static double MillilitresPerMinute(Station station, double hours)
    {
        // At least twice what the air takes, or the vessel would not fill.
        var least = Math.Max(LeastMillilitresPerMinute, 2 * station.Evaporation.MillilitresPerHour / 60);
        var (slow, fast) = (least, Math.Max(least, MostMillilitresPerMinute));
        // Where none is, because the head falls away or a limit lets it go no further, the fastest would be no proposal: the hand calculation's is.
        if (PlanTimes.HoursToConductivity(station, fast * 0.06) > hours) return Rounded(Math.Clamp(ByHand(station, hours), least, fast));
        for (var i = 0; i < Halvings; i++)
        {
            var middle = Math.Sqrt(slow * fast);
            if (PlanTimes.HoursToConductivity(station, middle * 0.06) <= hours) fast = middle;
            else slow = middle;
        }

        while (fast > least && BreaksLimit(station, fast)) fast = Math.Max(least, fast * 0.95);
        return Rounded(fast);
    }

    /// <summary>The inflow of a match, spread over the hours; head, limits and air aside.</summary>
    private static double ByHand(Station station, double hours)
    {
        var (start, left) = (station.Vessel.StartVolumeLitres, PlanTimes.LeftOver(station));
        var litres = station.Vessel is { Mode: VesselMode.Standpipe, StandpipeLitres: { } pipe } ? Standpipe.InflowToMatchLitres(start, pipe, 1, left) : Fill.LitresToMatch(start, 1, left) - start;
        return litres / hours / 0.06;
    }

    private static bool BreaksLimit(Station station, double millilitresPerMinute)
    {
        if (AnimalLimits.Of(station.Limits).MicrosiemensPerCmPerHour is not { Value: var limit }) return false;
        var litresPerHour = millilitresPerMinute * 0.06;
        var course = Course.Of(station, station.Vessel.StartVolumeLitres, litresPerHour);
        return CourseSearch.FastestPerHour(course, at => at.MicrosiemensPerCm, Course.HorizonHours) > limit;
    }

    /// <summary>To three figures: nobody sets a drip better than that.</summary>
    internal static double Rounded(double value)
    {
        var unit = Math.Pow(10, Math.Floor(Math.Log10(value)) - 2);
        return Math.Round(value / unit) * unit;
    }
}
