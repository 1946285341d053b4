using Evenwater.Core.Estimation;
using Evenwater.Core.Mixing;
using Evenwater.Core.Pacing;
using Evenwater.Core.Quantities;
using Evenwater.Core.Safety;
using Evenwater.Core.Stations;
using Evenwater.Core.Telling;
using Evenwater.Core.Water;

namespace Evenwater.Core.Planning;

/// <summary>What a plan's figures do not say by themselves.</summary>
internal static class PlanCautions
{
    /// <summary>Faster than four drops a second cannot be counted; common practice, no source.</summary>
    internal const double MostCountedDropsPerMinute = 240;

    /// <summary>Above this the salts' own law departs too far from a straight line of conductivity; 5 mS/cm is about 2.7 psu (PSS-78).</summary>
    internal const double FreshMicrosiemensPerCm = 5000;

    /// <summary>Of one reading of a conductivity probe, as a fraction: what the simulated rig's have, and the pacing reckons with.</summary>
    private const double ProbeScatter = 0.004;

    /// <summary>All of them. Only of a vessel that has room for the match can be said that it fits only just.</summary>
    public static IReadOnlyList<Remark<Caution>> Of(Trial trial, TransitAmmonia? ammonia)
    {
        var station = trial.Station;
        var found = new List<Remark<Caution>>();
        void Add(bool applies, Caution kind, Func<string> text)
        {
            if (applies) found.Add(new(kind, text()));
        }

        ArrivalCautions.Add(station, trial.WhenClosed, ammonia, Add);
        AboutTheWaters(station, trial.Times, trial.WhenClosed, trial.RestsAt.Celsius, Add);
        AboutTheRate(trial, Add);
        AboutTheStation(station, trial.Flow, Add);
        return found;
    }

    private static void AboutTheWaters(Station station, PlanTimes times, CourseAt? whenClosed, double restsCelsius, Action<bool, Caution, Func<string>> add)
    {
        var (bag, tank) = (station.Waters.BagMicrosiemensPerCm, station.Waters.TankMicrosiemensPerCm);
        add(Math.Max(bag, tank) > FreshMicrosiemensPerCm, Caution.Marine,
            () => "These waters are brackish or salt: conductivity is only a rough measure of the mixture here, half way by as much as a twentieth; think in salinity."
                + $" If the salts are the sea's, the bag has {Salinity(bag)} and the tank {Salinity(tank)} in practical salinity (PSS-78).");
        var latest = bag > tank ? LatestFillLitres(station, times) : 0;
        var mark = StationRules.MarkLitres(station.Vessel);
        add(station.Vessel.Mode == VesselMode.Fill && station.DrawOffs.Count == 0 && whenClosed?.Litres <= mark && latest > mark, Caution.UnlikeWaters,
            () => $"If the two waters are of very different make-up they do not mix along a straight line: the match could then need up to {latest.ToString(LitresForm.Of(mark))} L, which does not fit.");
        add(Math.Abs(restsCelsius - station.Waters.TankTemperatureCelsius) > station.Match.TemperatureToleranceCelsius, Caution.RestsElsewhere,
            () => $"Once the valve is closed the vessel drifts to {restsCelsius:0.0} °C, out of the tolerance: be there, or warm the room.");
    }

    private static string Salinity(double microsiemensPerCm)
    {
        var millisiemens = microsiemensPerCm / 1000;
        return PracticalSalinity.IsInRange(millisiemens, 25) ? $"{PracticalSalinity.Of(millisiemens, 25):0.0}" : $"more than {PracticalSalinity.Max:0}";
    }

    private static void AboutTheRate(Trial trial, Action<bool, Caution, Func<string>> add)
    {
        var (station, times, whenClosed) = (trial.Station, trial.Times, trial.WhenClosed);
        var hasRoom = !trial.Obstacles.Any(o => o.Kind is Obstacle.VesselTooSmall or Obstacle.HighFloatFirst or Obstacle.CatchOverflows or Obstacle.ForecastFirst or Obstacle.NeverSure);
        var drops = Planner.DropsPerMinute(station, trial.Flow);
        add(drops > MostCountedDropsPerMinute, Caution.RateIsRough, () => $"{drops:0} drops a minute run together: time a cup instead of counting.");
        add(drops <= MostCountedDropsPerMinute, Caution.RateIsRough, () => "Drops differ by 10 % and more: a timed cup is better.");
        add(PlanObstacles.TooFast(station, times, whenClosed?.Hours).Any(), Caution.FasterThanLimit, () => station.Pacing is null
            ? "Faster than the animals' limit: slow the drip, or let pacing keep to the limits."
            : "Faster than the animals' limit although it is paced: a closed valve keeps no room out. Bring bag, tank and room nearer to each other, or keep the room away by a lid or foam.");
        add(whenClosed is not null && PulsesInScatter(station), Caution.PulsesInScatter,
            () => "A probe's scatter is as much here as a pulse brings, and holds the pulses back: count on a quarter longer than this, in salt water on some nights twice as long. Rehearse a few nights.");
        if (whenClosed is not { } closed) return;
        add(hasRoom && times.MarkToClosing.Early < 1, Caution.OnlyJust, () => $"It fits only just: {Better(station)}");
        add(hasRoom && PlanObstacles.IsNearLimit(station, times, whenClosed), Caution.OnlyJust,
            () => "It fits only just: the water changes by nearly as much as the animals' limits allow, and a probe reads a per cent or two wrong: the valve may close there. Slow the drip a little, or begin with more of the bag's water.");
        var late = times.Even.Late + trial.UntilSureHours;
        add(late > station.Safety.MaxOpenMinutes / 60, Caution.OnlyJust,
            () => $"The match may {(double.IsPositiveInfinity(times.Even.Late) ? $"not come within {Course.HorizonHours:0} h at all" : $"come as late as {late:0.0} h, its {60 * trial.UntilSureHours:0} min to be sure with it")}, after the time budget of {station.Safety.MaxOpenMinutes / 60:0.0} h.");
        var (intake, form) = (Unattended.SiphonLitres(station.Source) ?? double.PositiveInfinity, LitresForm.Of(station.Vessel.BrimLitres));
        add(intake >= closed.InflowLitres && intake < closed.InflowLitres * 1.1, Caution.OnlyJust,
            () => $"The match takes {closed.InflowLitres.ToString(form)} L and the tank falls to its intake after {intake.ToString(form)} L: a small error, and the drip stops before the match.");
        add(intake >= closed.InflowLitres && station.Vessel.StartVolumeLitres + intake < StationRules.MarkLitres(station.Vessel) && intake < Unattended.FreeLitres(station.Vessel), Caution.IntakeEndsIt,
            () => $"The tank falls to its intake after {intake.ToString(form)} L, before the vessel is at its mark: the drip then ends by itself, as it should.");
    }

    /// <summary>What helps where too little is known.</summary>
    internal static string Better(Station station) =>
        $"measure start volume and brim more closely, {(station.Sensors.TankConductivity is null || station.Probes.GainRatioSd <= Probes.MatchedSd ? "" : "match the probes in one cup, ")}or leave more room.";

    /// <summary>
    /// Whether a probe's scatter is more than what comes of the path in one pulse. Of five rehearsed stations in fresh water those with less were even 1 and 5 % after their plan, those with more 15 and 21 %; in salt water,
    /// with three times as much, a quarter in the middle of 24 nights, and on some twice.
    /// </summary>
    private static bool PulsesInScatter(Station station)
    {
        if (station.Pacing is not { MostPulsesPerHour: var pulses }) return false;
        var waters = station.Waters;
        var pace = Pace.Of(station, waters.BagMicrosiemensPerCm, waters.TankMicrosiemensPerCm, waters.BagTemperatureCelsius, waters.TankTemperatureCelsius);
        return ProbeScatter * (waters.BagMicrosiemensPerCm + waters.TankMicrosiemensPerCm) / 2 > pace.MicrosiemensPerCmPerHour / pulses;
    }

    internal static string Told(SourcedLimit? limit, string format, string unit) =>
        $"{limit!.Value.Value.ToString(format, System.Globalization.CultureInfo.InvariantCulture)} {unit} ({limit.Value.Source})";

    /// <summary>A value beyond its limit, what stands between them, and the limit with its source.</summary>
    internal static string Over(double value, SourcedLimit? limit, string form, string between, string? limitForm = null) =>
        Beyond.Of(value, limit!.Value.Value, form, limitForm) is var told ? $"{told.Value}{between}{told.Limit} ({limit.Value.Source})" : "";

    private static void AboutTheStation(Station station, FlowRate flow, Action<bool, Caution, Func<string>> add)
    {
        var vessel = station.Vessel;
        add(vessel.StartVolumeSdLitres > 0.05 * vessel.StartVolumeLitres, Caution.MeasureBetter,
            () => "Measure the first water with a jug: every forecast of the level rests on it.");
        add(station.Sensors.TankConductivity is null, Caution.NoTankProbe, () => WithoutTankProbe(station, flow));
        add(station.Probes.GainRatioSd > 0.01 && station.Sensors.TankConductivity is not null, Caution.MeasureBetter,
            () => "Put both conductivity probes into one cup before the run: it is the cheapest way to a better forecast.");
        add(station.Sensors.FloatHighLine is null, Caution.MissingProtection, () => "There is no high float for the program: fit one, or stay beside the run; only the forecast tells it that the vessel is nearly full.");
        add(station.Sensors.LeakLine is null, Caution.MissingProtection, () => "There is no leak sensor on the floor: put one there, or look at the floor yourself; nothing else tells of water on it.");
        add(station.Valve.OnPowerLoss == PowerLoss.Stays, Caution.MissingProtection, () => "This valve stays open when its power goes: take a normally-closed one.");
        add(station.DrawOffs.Count > 0, Caution.DrawOffsByHand,
            () => $"The plan counts on {station.DrawOffs.Count} draw-off{(station.DrawOffs.Count == 1 ? "" : "s")} by hand: be there, draw, and tell it each time with 'evenwater drawn'. The forecast counts on none before it is told.");
        add(TankLoss.Of(station, null) is { HeaterExposedAtWorst: true }, Caution.Heater,
            () => $"If nothing closed, the tank would fall by {TankLoss.Of(station, null).AtWorstMillimetres:0.#} mm, and its heater must stay {station.Source.HeaterTopDepthMillimetres:0.#} mm below the surface: an uncovered heater can start a fire. Raise the intake, or unplug the heater for the run.");
        add(!station.Room.Lid, Caution.MissingProtection, () => "Cover the vessel, and let air in: snails climb and fish jump.");
        add(station.Source.AutomaticTopOff, Caution.MissingProtection, () => "Switch the automatic top-off off for the run: it refills what a siphon takes.");
    }

    /// <summary>What it costs to have no probe in the tank: the same plan with one, matched in one cup, beside it.</summary>
    private static string WithoutTankProbe(Station station, FlowRate flow)
    {
        var matched = station with
        {
            Sensors = station.Sensors with { TankConductivity = station.Sensors.VesselConductivity },
            Probes = new Probes { GainRatioSd = Probes.MatchedSd },
        };
        return "There is no conductivity probe in the tank: begin asks for its conductivity as you measure it, good to 2 % at best, and a change of the tank goes unseen. "
            + $"Even in conductivity is then known to {Range(new PlanTimes(station, flow.LitresPerHour).EvenInConductivity)}; with a second probe, matched in one cup, to {Range(new PlanTimes(matched, flow.LitresPerHour).EvenInConductivity)}.";

        static string Range(HoursRange range) => double.IsPositiveInfinity(range.Early) ? $"come not at all within {Course.HorizonHours:0} h" : double.IsPositiveInfinity(range.Late) ? $"no better than {range.Early:0.0} h to never" : $"between {range.Early:0.0} and {range.Late:0.0} h";
    }

    /// <summary>
    /// The volume a fill would need if the blend lay as far above the straight line as it can:
    /// the share s of bag water with s + excess(s) = tolerance / difference, by halving.
    /// </summary>
    private static double LatestFillLitres(Station station, PlanTimes times)
    {
        var wanted = times.ToleranceMicrosiemensPerCm / PlanTimes.Difference(station);
        var (low, high) = (0.0, Math.Min(wanted, 1));
        for (var i = 0; i < 60; i++)
        {
            var middle = (low + high) / 2;
            if (middle + MixingExcess.UpperFraction(middle) > wanted) high = middle;
            else low = middle;
        }

        return station.Vessel.StartVolumeLitres / high;
    }
}
