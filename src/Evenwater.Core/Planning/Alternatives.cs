using Evenwater.Core.Stations;
using Evenwater.Core.Telling;

namespace Evenwater.Core.Planning;

/// <summary>The other ways to run a station, each its own station judged like the plan: what fits, when it is ready, what it asks.</summary>
public static class Alternatives
{
    /// <summary>
    /// A way counts on this share of what may be used: from 0.92 to 0.94 of the mark on the running program closes, because its forecast can not tell the two apart
    /// (`rehearse --calm` on the demo's waters with other doubts of first water, drip and brim).
    /// </summary>
    internal const double CountedShare = 0.92;

    /// <summary>The plan first, then every way that says something; of a plan that fits, too. Each closes when its own estimator would be sure, if the plan does.</summary>
    public static IReadOnlyList<Way> Of(Plan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        var trial = plan.Trial;
        // Where the temperature stops, no other vessel helps by itself: those are judged in a room in which it does not.
        var stops = trial.Obstacles.Any(o => o.Kind == Obstacle.TemperatureStops);
        var warm = stops ? trial.With(WarmthRemedies.InOtherRoom(trial)) : trial;
        Way?[] volumes =
        [
            OtherVessels.LessBagWater(warm),
            OtherVessels.Larger(warm),
            OtherVessels.Standpipe(warm),
            HandDraws.Of(warm),
            OtherVessels.PartialMatch(warm),
        ];
        var roomToo = $" Reckoned with the room at {warm.Station.Room.TemperatureCelsius:0.0} °C.";
        return
        [
            AsPlanned(plan),
            .. new[] { OtherRates.Of(trial), PacedWay.Of(trial) }.OfType<Way>(),
            .. volumes.OfType<Way>().Select(way => stops ? way with { Asks = way.Asks + roomToo } : way),
            .. WarmthRemedies.Of(trial),
        ];
    }

    /// <summary>A way as its trial has it, once its estimator would be sure.</summary>
    internal static Way Make(string title, string asks, Trial trial, double pouredAwayLitres = 0)
    {
        var sure = trial.OnceSure();
        return new()
        {
            Title = title,
            Asks = asks,
            Obstacles = sure.Obstacles,
            ReadyHours = sure.WhenClosed?.Hours,
            EndLitres = sure.WhenClosed?.Litres,
            InflowLitres = sure.WhenClosed?.InflowLitres,
            WasteLitres = sure.WhenClosed?.OutflowLitres + sure.WhenClosed?.DrawnLitres + pouredAwayLitres,
            SettlesAt = sure.SettlesAt,
            RestsAt = sure.RestsAt,
            TemperatureHolds = sure.IsNear(sure.SettlesAt) && sure.IsNear(sure.RestsAt),
        };
    }

    /// <summary>The volume that may be used: up to the mark, and below a high float by three of its standard deviations.</summary>
    internal static double UsableLitres(Station station) => Math.Min(
        StationRules.MarkLitres(station.Vessel), station.Floats.HighLitres - (3 * station.Floats.PositionSdLitres) ?? double.PositiveInfinity);

    private static Way AsPlanned(Plan plan) =>
        Make($"planned, {plan.Flow.MillilitresPerMinute:0.##} mL/min", plan.DropsPerMinute > PlanCautions.MostCountedDropsPerMinute
            ? $"By hand: set the clamp by a timed cup, {plan.Flow.MillilitresPerMinute * 10:0} mL in ten minutes, and look again after an hour."
            : $"By hand: set the clamp to {HowMany.Of((long)Math.Round(plan.DropsPerMinute), "drop")} a minute, and look again after an hour.", plan.Trial);
}
