using System.Globalization;
using Evenwater.Core.Estimation;
using Evenwater.Core.Safety;

namespace Evenwater.Core.Planning;

/// <summary>Draw-offs by hand, each as late as the vessel and the keeper's own hours allow, down to the first volume.</summary>
internal static class HandDraws
{
    /// <summary>More of them in one run nobody does. Common practice, no source.</summary>
    private const int Most = 6;

    /// <summary>A draw-off is not worth getting up for when there is less than this to draw, as a share of the first water.</summary>
    private const double LeastDraw = 0.25;

    private const double JugSd = 0.02;

    public static Way? Of(Trial trial)
    {
        var (station, wishes) = (trial.Station, trial.Wishes);
        if (station.Vessel.Mode != VesselMode.Fill || station.DrawOffs.Count > 0 || !trial.Obstacles.Any(o => o.Kind is Obstacle.VesselTooSmall or Obstacle.HighFloatFirst or Obstacle.ForecastFirst)) return null;
        var full = Alternatives.CountedShare * Alternatives.UsableLitres(station);
        var roomy = station with { Safety = station.Safety with { MaxInflowLitres = 1e6 } };
        var draws = new List<DrawOff>();
        var tried = trial.With(roomy);
        while (draws.Count < Most)
        {
            var from = draws.Count == 0 ? 0 : draws[^1].AtSeconds / 3600;
            var brimful = CourseSearch.FirstWhen(tried.Times.Course, at => at.Litres >= full, from + (1.0 / 60));
            if (double.IsPositiveInfinity(brimful) || tried.WhenClosed?.Hours < brimful) break;
            if (LatestPresence(wishes, from, brimful) is not { } when) return Missed(trial, tried, draws, brimful);
            var litres = Math.Floor(20 * (tried.Times.Course.At(when).Litres - station.Vessel.StartVolumeLitres)) / 20; // to 50 mL: a jug's marks
            if (litres < LeastDraw * station.Vessel.StartVolumeLitres) return Missed(trial, tried, draws, brimful);
            draws.Add(new DrawOff(when * 3600, litres, JugSd));
            tried = trial.With(roomy with { DrawOffs = [.. draws] });
        }

        if (draws.Count == 0) return null;
        tried = tried.OnceSure();
        if (tried.WhenClosed is null) return Alternatives.Make("draw-offs by hand", $"{(draws.Count == 1 ? "Even with one it does" : $"Even with {draws.Count} of them it does")} not end in a match within {Course.HorizonHours:0} h.", tried);
        var drawn = draws.Sum(draw => draw.Litres);
        var takes = tried.WhenClosed.Value.InflowLitres;
        // A tenth more than it takes, and no more than the vessel has room for.
        var budget = takes <= station.Safety.MaxInflowLitres ? takes : Math.Floor(10 * Math.Min(1.1 * takes, InflowBudget.RoomLitres(station.Vessel) + drawn)) / 10;
        var told = string.Join(", ", draws.Select(draw => $"{draw.Litres:0.0#} L after {draw.AtSeconds / 3600:0.0#} h"));
        return Alternatives.Make($"{draws.Count} draw-off{(draws.Count == 1 ? "" : "s")} by hand", string.Create(CultureInfo.InvariantCulture,
            $"Draw {told}, each told with 'evenwater drawn', when you are home and awake; {drawn:0.0#} L to throw away, never into the tank. Plan them as drawOffs{OtherVessels.Budget(station, budget)}, or the run stops at its volume budget."), tried);
    }

    /// <summary>The latest moment up to one, and well after another, at which somebody is there; null when there is none.</summary>
    private static double? LatestPresence(PlanWishes wishes, double afterHours, double untilHours)
    {
        var span = wishes.Present.LastOrDefault(p => p.FromHours <= untilHours && p.ToHours > afterHours);
        return span == default ? null : Math.Min(span.ToHours, untilHours);
    }

    private static Way Missed(Trial trial, Trial tried, List<DrawOff> draws, double brimful)
    {
        var way = Alternatives.Make("draw-offs by hand", $"The vessel is nearly full {brimful:0.0} h after the start, and nobody is home and awake{(draws.Count > 0 ? $" after draw-off {draws.Count}" : "")} before then: a slower drip, another start, or somebody else.", tried);
        return way with { Obstacles = [.. trial.Obstacles.Take(1)], ReadyHours = null, EndLitres = null, InflowLitres = null, WasteLitres = null };
    }
}
