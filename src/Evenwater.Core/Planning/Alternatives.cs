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

    /// <summary>The plan first, then every way that says something; of a plan that fits, too.</summary>
    /// <param name="station">A station that <see cref="StationRules"/> passes.</param>
    /// <param name="plan">Its plan.</param>
    /// <param name="wishes">What the keeper wants.</param>
    public static IReadOnlyList<Way> Of(Station station, Plan plan, PlanWishes wishes)
    {
        ArgumentNullException.ThrowIfNull(station);
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(wishes);
        var trial = Trial.Of(station, plan.Flow, wishes);
        // Where the temperature stops, no other vessel helps by itself: those are judged in a room in which it does not.
        var stops = trial.Obstacles.Any(o => o.Kind == Obstacle.TemperatureStops);
        var warm = stops ? Trial.Of(WarmthRemedies.InOtherRoom(trial), plan.Flow, wishes) : trial;
        Way?[] volumes =
        [
            OtherVessels.LessBagWater(warm, wishes),
            OtherVessels.Larger(warm, wishes),
            OtherVessels.Standpipe(warm, wishes),
            HandDraws.Of(warm, wishes),
            OtherVessels.PartialMatch(warm, wishes),
        ];
        var roomToo = $" Reckoned with the room at {warm.Station.Room.TemperatureCelsius:0.0} °C.";
        return
        [
            AsPlanned(trial, plan),
            .. new[] { OtherRates.Of(trial, wishes), PacedWay.Of(trial, wishes) }.OfType<Way>(),
            .. volumes.OfType<Way>().Select(way => stops ? way with { Asks = way.Asks + roomToo } : way),
            .. WarmthRemedies.Of(trial, wishes),
        ];
    }

    /// <summary>A way as its trial has it.</summary>
    internal static Way Make(string title, string asks, Trial trial, double pouredAwayLitres = 0) => new()
    {
        Title = title,
        Asks = asks,
        Obstacles = trial.Obstacles,
        ReadyHours = trial.WhenClosed?.Hours,
        EndLitres = trial.WhenClosed?.Litres,
        InflowLitres = trial.WhenClosed?.InflowLitres,
        WasteLitres = trial.WhenClosed?.OutflowLitres + trial.WhenClosed?.DrawnLitres + pouredAwayLitres,
        SettlesAt = trial.SettlesAt,
        RestsAt = trial.RestsAt,
        TemperatureHolds = trial.IsNear(trial.SettlesAt) && trial.IsNear(trial.RestsAt),
    };

    /// <summary>The volume that may be used: up to the mark, and below a high float by three of its standard deviations.</summary>
    internal static double UsableLitres(Station station) => Math.Min(
        StationRules.MarkLitres(station.Vessel), station.Floats.HighLitres - (3 * station.Floats.PositionSdLitres) ?? double.PositiveInfinity);

    private static Way AsPlanned(Trial trial, Plan plan)
    {
        return Make($"planned, {plan.Flow.MillilitresPerMinute:0.##} mL/min", plan.DropsPerMinute > PlanCautions.MostCountedDropsPerMinute
            ? $"By hand: set the clamp by a timed cup, {plan.Flow.MillilitresPerMinute * 10:0} mL in ten minutes, and look again after an hour."
            : $"By hand: set the clamp to {HowMany.Of((long)Math.Round(plan.DropsPerMinute), "drop")} a minute, and look again after an hour.", trial) with
        {
            Obstacles = plan.Obstacles,
            ReadyHours = plan.WhenClosed?.Hours,
            EndLitres = plan.WhenClosed?.Litres,
            InflowLitres = plan.WhenClosed?.InflowLitres,
            WasteLitres = plan.WhenClosed?.OutflowLitres + plan.WhenClosed?.DrawnLitres,
        };
    }
}
