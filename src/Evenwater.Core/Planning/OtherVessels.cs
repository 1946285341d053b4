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

    /// <summary>A partial match that would fill less than this of what may be used is not worth telling.</summary>
    private const double LeastShare = 0.6;

    /// <summary>Where a proposed standpipe stands, as a share of what may be used.</summary>
    private const double StandpipeShare = 0.9;

    public static Way? LessBagWater(Trial trial)
    {
        if (!IsTooSmall(trial) || trial.Station.Vessel.Mode != VesselMode.Fill) return null;
        Trial? best = null;
        for (var i = 1; i <= Steps; i++)
        {
            var kept = 1 - (i * (1 - LeastKept) / Steps);
            var vessel = trial.Station.Vessel;
            var tried = trial.With(trial.Station with { Vessel = vessel with { StartVolumeLitres = kept * vessel.StartVolumeLitres, StartVolumeSdLitres = kept * vessel.StartVolumeSdLitres } });
            var ample = tried.Obstacles.Count == 0 && tried.WhenClosed?.Litres <= Alternatives.CountedShare * Alternatives.UsableLitres(tried.Station)
                && !PlanObstacles.IsNearLimit(tried.Station, tried.Times, tried.WhenClosed) && (tried = tried.OnceSure()).Obstacles.Count == 0;
            if (ample || best is not { Obstacles.Count: 0 }) best = tried; // one that only just fits is kept until one has room to spare
            if (ample) break;
        }

        var litres = best!.Station.Vessel.StartVolumeLitres;
        var away = trial.Station.Vessel.StartVolumeLitres - litres;
        var deep = trial.Station.Vessel.AreaSquareMetres is { } area ? $", {litres / area:0} mm deep in this vessel" : "";
        return Alternatives.Make($"less bag water, {litres:0.0#} L",
            $"Pour {away:0.0#} L of the bag's water away first, never into the tank. The animals begin in {litres:0.0#} L{deep}: with less air and less room.", best, away);
    }

    public static Way? Larger(Trial trial)
    {
        if (!IsTooSmall(trial) || trial.Station.Vessel.Mode != VesselMode.Fill) return null; // over a standpipe it holds no more
        var (larger, vessel) = (trial, trial.Station.Vessel);
        var usableShare = Math.Min(StationRules.MarkLitres(vessel), Alternatives.UsableLitres(trial.Station)) / vessel.BrimLitres;
        for (var i = 0; i < 3; i++) // a larger vessel loses more warmth, and may then need a little more water
        {
            if (larger.WhenClosed is not { } closed) return null;
            var brim = Math.Ceiling(ToSpare * Math.Max(closed.Litres / usableShare, ForecastIsFirst(trial) ? vessel.BrimLitres : 0));
            if (brim <= vessel.BrimLitres) return null; // it is not the vessel that is too small
            larger = trial.With(InVessel(trial.Station, brim));
        }

        for (var i = 0; i < 3 && (larger = larger.OnceSure()).Obstacles.Count > 0 && IsTooSmall(larger); i++) larger = trial.With(InVessel(trial.Station, Math.Ceiling(ToSpare * larger.Station.Vessel.BrimLitres)));
        return Alternatives.Make($"a larger vessel, {larger.Station.Vessel.BrimLitres:0} L",
            $"A vessel of {larger.Station.Vessel.BrimLitres:0} L or more, its floats set anew, and vessel, floats and budgets of the station file changed to it.", larger);
    }

    public static Way? Standpipe(Trial trial)
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
        if (trial.With(piped).OnceSure().WhenClosed is not { OutflowLitres: var through }) return null;
        var catches = Math.Max(0.5, Math.Ceiling(2 * ToSpare * through) / 2);
        var budget = Math.Max(station.Safety.MaxInflowLitres, at - vessel.StartVolumeLitres + catches);
        var tried = trial.With(piped with { Vessel = piped.Vessel with { CatchLitres = catches }, Safety = station.Safety with { MaxInflowLitres = budget } });
        return Alternatives.Make($"a standpipe at {at:0.0} L",
            $"A standpipe at {at:0.0} L, and below it a catch vessel of {catches:0.0} L or more: it moves a flood there, it does not end one. State it: vessel.mode standpipe, standpipeLitres, catchLitres, and safety.maxInflowLitres {Math.Floor(10 * (Math.Round(at, 1) - vessel.StartVolumeLitres + catches)) / 10:0.0}.", tried);
    }

    /// <summary>As near as the vessel allows: nothing else is changed.</summary>
    public static Way? PartialMatch(Trial trial)
    {
        var station = trial.Station;
        if (!IsTooSmall(trial) || station.Vessel.Mode != VesselMode.Fill || station.DrawOffs.Count > 0 || PlanTimes.ReplacedWanted(station) is not null) return null;
        Trial? tried = null;
        var (there, apart) = (default(CourseAt), 0.0);
        for (var share = Alternatives.CountedShare; share > LeastShare && (tried is null || ForecastIsFirst(tried)); share -= 0.05)
        {
            var stop = share * Alternatives.UsableLitres(station);
            var reached = CourseSearch.FirstWhen(trial.Times.Course, at => at.Litres >= stop) - (station.Match.DwellMinutes / 60); // it drips on for the dwell time
            if (double.IsPositiveInfinity(reached) || reached <= 0) break;
            there = trial.Times.Course.At(reached);
            apart = Math.Abs(there.MicrosiemensPerCm - station.Waters.TankMicrosiemensPerCm);
            if (apart <= trial.Times.ToleranceMicrosiemensPerCm) return null; // a fast drip is there before the mixing is: no nearer is asked for than a whole match
            tried = trial.With(station with { Match = station.Match with { ToleranceMicrosiemensPerCm = Math.Ceiling(apart), ToleranceFractionOfDifference = null } }).OnceSure();
        }

        return tried is null ? null : Alternatives.Make($"partial, {apart:0} µS/cm off",
            $"The animals make the last {apart:0} µS/cm in one step when they are moved, {100 * apart / PlanTimes.Difference(station):0} % of the whole difference; {100 * (1 - there.BagShare):0} % of their water is the tank's by then. State it: match.toleranceMicrosiemensPerCm {Math.Ceiling(apart):0}.", tried)
            with { ShortBy = apart };
    }

    /// <summary>The volume budget that a way asks for beside the rest; nothing where the file's own is enough.</summary>
    internal static string Budget(Station station, double litres) => litres > station.Safety.MaxInflowLitres ? $", and safety.maxInflowLitres {litres:0.0}" : "";

    private static bool IsTooSmall(Trial trial) => trial.Obstacles.Any(o => o.Kind is Obstacle.VesselTooSmall or Obstacle.HighFloatFirst or Obstacle.VolumeBudget) || ForecastIsFirst(trial);

    private static bool ForecastIsFirst(Trial trial) => trial.Obstacles.Any(o => o.Kind == Obstacle.ForecastFirst);

    /// <summary>The station with a vessel of the same shape, floats and budget with it.</summary>
    private static Station InVessel(Station station, double brimLitres)
    {
        var (vessel, times) = (station.Vessel, brimLitres / station.Vessel.BrimLitres);
        return station with
        {
            Vessel = vessel with
            {
                BrimLitres = brimLitres,
                BrimSdLitres = times * vessel.BrimSdLitres,
                FreeboardLitres = times * vessel.FreeboardLitres,
                AreaSquareMetres = Math.Pow(times, 2.0 / 3) * vessel.AreaSquareMetres,
                HeatExchangeWattsPerKelvin = Math.Pow(times, 2.0 / 3) * vessel.HeatExchangeWattsPerKelvin,
            },
            Floats = station.Floats with { LowLitres = times * station.Floats.LowLitres, HighLitres = times * station.Floats.HighLitres },
            Safety = station.Safety with { MaxInflowLitres = Math.Max(station.Safety.MaxInflowLitres, brimLitres - vessel.StartVolumeLitres) },
        };
    }
}
