using Evenwater.Core.Estimation;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>The same two waters in another vessel, or less of the first.</summary>
internal static class OtherVessels
{
    /// <summary>At least this share of the bag's water is kept: the animals stand in it. Common practice, no source.</summary>
    private const double LeastKept = 0.3;

    private const int Steps = 14;

    /// <summary>Room to spare in a vessel that is proposed. Common practice, no source.</summary>
    private const double ToSpare = 1.1;

    /// <summary>Where a proposed standpipe stands, as a share of what may be used.</summary>
    private const double StandpipeShare = 0.9;

    public static Way? LessBagWater(Trial trial, PlanWishes wishes)
    {
        if (!IsTooSmall(trial) || trial.Station.Vessel.Mode != VesselMode.Fill) return null;
        Trial? best = null;
        for (var i = 1; i <= Steps; i++)
        {
            var kept = 1 - (i * (1 - LeastKept) / Steps);
            var vessel = trial.Station.Vessel;
            var tried = Trial.Of(trial.Station with { Vessel = vessel with { StartVolumeLitres = kept * vessel.StartVolumeLitres, StartVolumeSdLitres = kept * vessel.StartVolumeSdLitres } }, trial.Flow, wishes);
            var ample = tried.Obstacles.Count == 0 && tried.WhenClosed?.Litres <= Alternatives.CountedShare * Alternatives.UsableLitres(tried.Station);
            if (ample || best is not { Obstacles.Count: 0 }) best = tried; // one that only just fits is kept until one has room to spare
            if (ample) break;
        }

        var litres = best!.Station.Vessel.StartVolumeLitres;
        var away = trial.Station.Vessel.StartVolumeLitres - litres;
        var deep = trial.Station.Vessel.AreaSquareMetres is { } area ? $", {litres / area:0} mm deep in this vessel" : "";
        return Alternatives.Make($"less bag water, {litres:0.0#} L",
            $"Pour {away:0.0#} L of the bag's water away first, never into the tank. The animals begin in {litres:0.0#} L{deep}: with less air and less room.", best, away);
    }

    public static Way? Larger(Trial trial, PlanWishes wishes)
    {
        if (!IsTooSmall(trial) || trial.Station.Vessel.Mode != VesselMode.Fill) return null; // over a standpipe it holds no more
        var larger = trial;
        for (var i = 0; i < 3; i++) // a larger vessel loses more warmth, and may then need a little more water
        {
            if (larger.WhenClosed is not { } closed) return null;
            var (vessel, floats) = (trial.Station.Vessel, trial.Station.Floats);
            var brim = Math.Ceiling(vessel.BrimLitres * ToSpare * closed.Litres / Math.Min(StationRules.MarkLitres(vessel), Alternatives.UsableLitres(trial.Station)));
            if (brim <= vessel.BrimLitres) return null; // it is not the vessel that is too small
            var times = brim / vessel.BrimLitres;
            var room = brim - vessel.StartVolumeLitres;
            larger = Trial.Of(
                trial.Station with
                {
                    Vessel = vessel with
                    {
                        BrimLitres = brim,
                        BrimSdLitres = times * vessel.BrimSdLitres,
                        FreeboardLitres = times * vessel.FreeboardLitres,
                        AreaSquareMetres = Math.Pow(times, 2.0 / 3) * vessel.AreaSquareMetres,
                        HeatExchangeWattsPerKelvin = Math.Pow(times, 2.0 / 3) * vessel.HeatExchangeWattsPerKelvin,
                    },
                    Floats = floats with { LowLitres = times * floats.LowLitres, HighLitres = times * floats.HighLitres },
                    Safety = trial.Station.Safety with { MaxInflowLitres = Math.Max(trial.Station.Safety.MaxInflowLitres, room) },
                },
                trial.Flow, wishes);
        }

        return Alternatives.Make($"a larger vessel, {larger.Station.Vessel.BrimLitres:0} L",
            $"A vessel of {larger.Station.Vessel.BrimLitres:0} L or more, its floats set anew, and vessel, floats and budgets of the station file changed to it.", larger);
    }

    public static Way? Standpipe(Trial trial, PlanWishes wishes)
    {
        var (station, vessel) = (trial.Station, trial.Station.Vessel);
        var at = StandpipeShare * Alternatives.UsableLitres(station);
        if (!IsTooSmall(trial) || vessel.Mode != VesselMode.Fill || at <= vessel.StartVolumeLitres) return null;
        var piped = station with
        {
            Vessel = vessel with { Mode = VesselMode.Standpipe, StandpipeLitres = at, StandpipeSdLitres = vessel.BrimSdLitres, CatchLitres = 1e6 },
            DrawOffs = [],
            Safety = station.Safety with { MaxInflowLitres = 1e6 },
        };
        if (Trial.Of(piped, trial.Flow, wishes).WhenClosed is not { OutflowLitres: var through }) return null;
        var catches = Math.Max(0.5, Math.Ceiling(2 * ToSpare * through) / 2);
        var budget = Math.Max(station.Safety.MaxInflowLitres, at - vessel.StartVolumeLitres + catches);
        var tried = Trial.Of(piped with { Vessel = piped.Vessel with { CatchLitres = catches }, Safety = station.Safety with { MaxInflowLitres = budget } }, trial.Flow, wishes);
        return Alternatives.Make($"a standpipe at {at:0.0} L",
            $"A standpipe at {at:0.0} L, and below it a catch vessel of {catches:0.0} L or more: it moves a flood there, it does not end one. State it: vessel.mode standpipe, standpipeLitres, catchLitres, and safety.maxInflowLitres {Math.Floor(10 * (Math.Round(at, 1) - vessel.StartVolumeLitres + catches)) / 10:0.0}.", tried);
    }

    /// <summary>As near as the vessel allows: nothing else is changed.</summary>
    public static Way? PartialMatch(Trial trial, PlanWishes wishes)
    {
        var station = trial.Station;
        if (!IsTooSmall(trial) || station.Vessel.Mode != VesselMode.Fill || station.DrawOffs.Count > 0 || PlanTimes.ReplacedWanted(station) is not null) return null;
        var stop = Alternatives.CountedShare * Alternatives.UsableLitres(station);
        var reached = CourseSearch.FirstWhen(trial.Times.Course, at => at.Litres >= stop) - (station.Match.DwellMinutes / 60); // it drips on for the dwell time
        if (double.IsPositiveInfinity(reached) || reached <= 0) return null;
        var there = trial.Times.Course.At(reached);
        var apart = Math.Abs(there.MicrosiemensPerCm - station.Waters.TankMicrosiemensPerCm);
        if (apart <= trial.Times.ToleranceMicrosiemensPerCm) return null; // a fast drip is there before the mixing is: no nearer is asked for than a whole match
        var tried = Trial.Of(station with { Match = station.Match with { ToleranceMicrosiemensPerCm = Math.Ceiling(apart), ToleranceFractionOfDifference = null } }, trial.Flow, wishes);
        return Alternatives.Make($"partial, {apart:0} µS/cm off",
            $"The animals make the last {apart:0} µS/cm in one step when they are moved, {100 * apart / PlanTimes.Difference(station):0} % of the whole difference; {100 * (1 - there.BagShare):0} % of their water is the tank's by then. State it: match.toleranceMicrosiemensPerCm {Math.Ceiling(apart):0}.", tried)
            with { ShortBy = apart };
    }

    /// <summary>The volume budget that a way asks for beside the rest; nothing where the file's own is enough.</summary>
    internal static string Budget(Station station, double litres) => litres > station.Safety.MaxInflowLitres ? $", and safety.maxInflowLitres {litres:0.0}" : "";

    private static bool IsTooSmall(Trial trial) => trial.Obstacles.Any(o => o.Kind is Obstacle.VesselTooSmall or Obstacle.HighFloatFirst or Obstacle.VolumeBudget);
}
