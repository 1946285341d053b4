using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;

namespace Evenwater.Core.Planning;

/// <summary>Answers before a run: does it fit, how fast, how long, what could go wrong.</summary>
public static class Planner
{
    /// <summary>
    /// The plan of a station that <see cref="StationRules"/> passes. Without a measured drip, or with a chosen
    /// <paramref name="evenAfterHours"/> (0.5 to 48 h), it proposes a rate: the slowest that is even by then.
    /// </summary>
    /// <param name="station">The station.</param>
    /// <param name="evenAfterHours">After which a proposed drip is even, h.</param>
    /// <param name="wishes">When it should be done; nothing in particular when left out.</param>
    /// <param name="priorOf">What a station's estimator would begin with: by it the plan closes when that would be sure. When left out, as though it were sure at once.</param>
    public static Plan Make(Station station, double? evenAfterHours = null, PlanWishes? wishes = null, Func<Station, Prior>? priorOf = null)
    {
        ArgumentNullException.ThrowIfNull(station);
        if (evenAfterHours is { } chosen) Bounds.Check(chosen, 0.5, Course.HorizonHours, "h", nameof(evenAfterHours));
        wishes ??= PlanWishes.None;
        var proposed = evenAfterHours is not null || station.Drip.FlowMillilitresPerMinute is null;
        var hours = evenAfterHours ?? Math.Min(wishes.DoneByHours - (station.Match.DwellMinutes / 60) ?? RateProposal.UsualHours, RateProposal.UsualHours);
        var trial = At(hours);
        // What it takes to be sure is known only when it was tried.
        for (var i = 0; i < 3 && proposed && evenAfterHours is null && trial.WhenClosed?.Hours > wishes.DoneByHours; i++)
            trial = At(hours *= 0.99 * wishes.DoneByHours.Value / trial.WhenClosed.Value.Hours);
        var flow = trial.Flow;
        var (times, whenClosed) = (trial.Times, trial.WhenClosed);
        var fillLitres = Fill.LitresToMatch(station.Vessel.StartVolumeLitres, 1, PlanTimes.LeftOver(station));
        var ammonia = TransitAmmonia.Of(station, whenClosed, times.Even.Middle);
        var loss = TankLoss.Of(station, whenClosed);
        return new Plan(trial)
        {
            Name = station.Name,
            Flow = flow,
            FlowIsProposed = proposed,
            DropsPerMinute = DropsPerMinute(station, flow),
            ToleranceMicrosiemensPerCm = times.ToleranceMicrosiemensPerCm,
            ReplacedWanted = PlanTimes.ReplacedWanted(station),
            FillNeedsLitres = fillLitres,
            FillNeedsStartVolumes = fillLitres / station.Vessel.StartVolumeLitres,
            FillHours = (fillLitres - station.Vessel.StartVolumeLitres) / flow.LitresPerHour,
            Mark = Volume.FromLitres(StationRules.MarkLitres(station.Vessel)),
            EvenInConductivity = times.EvenInConductivity,
            Even = times.Even,
            AtMark = times.AtMark,
            WhenEven = trial.WhenEven,
            WhenClosed = whenClosed,
            IsOnceSure = trial.Sure?.Closes is not null,
            Course = times.Course,
            TankLoss = loss,
            SettlesAt = trial.SettlesAt,
            RestsAt = trial.RestsAt,
            SiphonLitres = Unattended.SiphonLitres(station.Source),
            UnattendedRefusals = Unattended.Refusals(station),
            Obstacles = trial.Obstacles,
            Ammonia = ammonia,
            Oxygen = VesselOxygen.Of(station),
            Residuals = Residuals.Of(station, whenClosed, ammonia),
            Advice = Advisability.Of(station, ammonia, times.Even.Middle),
            Cautions = PlanCautions.Of(trial, ammonia),
        };

        Trial At(double even) => Trial.Of(station, FlowRate.FromMillilitresPerMinute(proposed ? RateProposal.MillilitresPerMinute(station, even) : station.Drip.FlowMillilitresPerMinute!.Value), wishes, doubt: true, priorOf).OnceSure();
    }

    /// <summary>A rate in drops per minute of the station's own drop.</summary>
    internal static double DropsPerMinute(Station station, FlowRate flow) => flow.MillilitresPerMinute / station.Drip.DropMillilitres;
}
