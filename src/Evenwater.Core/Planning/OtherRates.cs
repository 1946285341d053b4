using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>Another drip, so that it is done by the hour that the keeper wants, or within the time budget and no faster than the animals' limits; a faster one also holds the temperature nearer to the tank's.</summary>
internal static class OtherRates
{
    private const double LeastMillilitresPerMinute = 0.05;
    private const double MostMillilitresPerMinute = 1000;
    private const int Halvings = 25;

    /// <summary>A gentler drip is worth telling from this share of the wished time on. Common practice, no source.</summary>
    private const double MuchTooEarly = 0.85;

    /// <summary>Standard deviations of the drip that the wished hour allows for where the late end of the plan is not known: 19 nights in 20.</summary>
    private const double Sds = 1.645;

    /// <summary>A drip is set to three figures: so much later is in time still.</summary>
    private const double Rounding = 1.005;

    public static Way? Of(Trial trial)
    {
        var (station, wishes) = (trial.Station, trial.Wishes);
        var late = trial.Obstacles.Any(o => o.Kind is Obstacle.Deadline or Obstacle.TimeBudget or Obstacle.TooSlow or Obstacle.TemperatureStops);
        var early = wishes.DoneByHours is { } by && trial.WhenClosed?.Hours < MuchTooEarly * by;
        var hasty = PlanObstacles.TooFast(station, trial.Times, trial.WhenClosed?.Hours).Any();
        if (!late && !early && !hasty) return null;
        var last = Math.Min(wishes.DoneByHours ?? double.PositiveInfinity, station.Safety.MaxOpenMinutes / 60);
        // As much sooner as the late end of the plan is later than its middle: not the drip alone is in doubt. Where the plan has no such end, that of a drip that ends tells.
        var planned = Late(station, trial.Flow);
        var doubt = planned ?? Math.Exp(Sds * station.Drip.FlowRelativeSd);
        var found = SlowestFor(trial, last / doubt);
        if (planned is null && found is { } rough && Late(station, rough) is { } its) found = SlowestFor(trial, last / (doubt = its)) ?? found;
        // And as much sooner as it takes to be sure, which is known only when it was tried.
        var (wanted, aim) = (last / doubt, last / doubt);
        for (var i = 0; i < 3 && found is { } tried && At(trial, tried).OnceSure().WhenClosed?.Hours is { } closed && closed > Rounding * wanted; i++)
            found = SlowestFor(trial, aim *= wanted / closed) ?? found;
        if (found is not { } flow || Math.Abs(flow.LitresPerHour - trial.Flow.LitresPerHour) < 0.02 * trial.Flow.LitresPerHour) return null;
        if (!late && flow.LitresPerHour > trial.Flow.LitresPerHour) return null; // what is in no haste, or in too much, asks for no faster one
        var other = At(trial, flow, doubt: true).OnceSure();
        var sure = other.Obstacles.Count == 0 && !PlanObstacles.IsNearLimit(other.Station, other.Times, other.WhenClosed) && other.Times.Even.Late + other.UntilSureHours <= Rounding * last;
        var drops = Planner.DropsPerMinute(station, flow);
        var asks = $"Set the clamp {(drops > PlanCautions.MostCountedDropsPerMinute ? $"by a timed cup, {10 * flow.MillilitresPerMinute:0} mL in ten minutes" : $"to {Telling.HowMany.Of((long)Math.Round(drops), "drop")} a minute")}{(sure ? "; then done in time on 19 nights of 20" : "")}.";
        return Alternatives.Make($"{(late ? "faster" : "gentler")}, {flow.MillilitresPerMinute:0.##} mL/min", asks, other);
    }

    /// <summary>The slowest drip that is done within some hours, conductivity and temperature and dwell; null when none is.</summary>
    private static FlowRate? SlowestFor(Trial trial, double hours)
    {
        var (slow, fast) = (LeastMillilitresPerMinute, MostMillilitresPerMinute);
        if (!Done(fast)) return null;
        for (var i = 0; i < Halvings; i++)
        {
            var middle = Math.Sqrt(slow * fast);
            if (Done(middle)) fast = middle;
            else slow = middle;
        }

        return FlowRate.FromMillilitresPerMinute(RateProposal.Rounded(fast));

        bool Done(double millilitresPerMinute) => At(trial, FlowRate.FromMillilitresPerMinute(millilitresPerMinute)).WhenClosed?.Hours <= hours;
    }

    /// <summary>So many times the middle is the late end of a drip's time to even; null when it has none.</summary>
    private static double? Late(Station station, FlowRate flow) =>
        new PlanTimes(station, flow.LitresPerHour).Even is { Middle: > 0, Late: < double.PositiveInfinity } even ? even.Late / even.Middle : null;

    private static Trial At(Trial trial, FlowRate flow, bool doubt = false) =>
        trial.With(trial.Station with { Drip = trial.Station.Drip with { FlowMillilitresPerMinute = flow.MillilitresPerMinute } }, flow, doubt);
}
