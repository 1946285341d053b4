using Evenwater.Core.Water;

namespace Evenwater.Core.Stations;

/// <summary>Ranges of the drip, the match, the source, the waters, the room and what people do to them.</summary>
internal static class WaterRules
{
    private const double HoursInLongestRun = 48;

    public static void Check(Station station, Findings findings)
    {
        CheckDrip(station, findings);
        CheckMatch(station.Match, findings);
        CheckSource(station.Source, findings);
        CheckWaters(station.Waters, station.Sensors.VesselConductivity.Compensation == Compensation.SeaWater, findings);
        ArrivalRules.Check(station, findings);
        findings.Within("room.temperatureCelsius", station.Room.TemperatureCelsius, -10, 50, "°C", "Give the room's temperature during the run.");
        findings.Within("probes.gainRatioSd", station.Probes.GainRatioSd, 0.0005, 0.2, "(a fraction)", "0.003 after both probes were put in one cup, 0.021 without.");
        CheckDrawOffs(station, findings);
        CheckLimits(station.Limits, findings);
    }

    private static void CheckLimits(Limits limits, Findings findings)
    {
        const string advice = "Leave it out for the group's limit, or for none.";
        findings.WithinIfGiven("limits.microsiemensPerCmPerHour", limits.MicrosiemensPerCmPerHour, 0.1, 100_000, "µS/cm per hour", advice);
        findings.WithinIfGiven("limits.totalMicrosiemensPerCm", limits.TotalMicrosiemensPerCm, 1, 100_000, "µS/cm", advice);
        findings.WithinIfGiven("limits.celsiusPerHour", limits.CelsiusPerHour, 0.05, 20, "°C per hour", advice);
        findings.WithinIfGiven("limits.totalCelsius", limits.TotalCelsius, 0.1, 30, "°C", advice);
        findings.WithinIfGiven("limits.totalPh", limits.TotalPh, 0.05, 5, "(pH)", advice);
    }

    private static void CheckDrip(Station station, Findings findings)
    {
        var drip = station.Drip;
        findings.WithinIfGiven("drip.flowMillilitresPerMinute", drip.FlowMillilitresPerMinute, 0.05, 1000, "mL/min", "Time a cup, or leave it out and let plan propose a rate.");
        findings.Within("drip.flowRelativeSd", drip.FlowRelativeSd, 0.005, 1, "(a fraction)", "A timed cup is good to 0.05.");
        findings.WithinIfGiven("drip.headMetres", drip.HeadMetres, 0.05, 20, "m", "Measure the height of the tank's water above the vessel's, or leave it out.");
        findings.Within("drip.dropMillilitres", drip.DropMillilitres, 0.01, 0.2, "mL", "20 drops are 1 mL (0.05), good to 10 % (ISO 8536-4); or weigh 100 drops.");
        findings.Within("drip.dropRelativeSd", drip.DropRelativeSd, 0.005, 0.5, "(a fraction)", "0.12 by the usual number, 0.05 when 100 of your drops were weighed at this rate.");
        var toAir = station.Evaporation.MillilitresPerHour;
        findings.Within("evaporation.millilitresPerHour", toAir, 0, 500, "mL/h", "About 4.5 for an open bucket, 1 with a lid.");
        if (drip.FlowMillilitresPerMinute is { } flow)
        {
            findings.Require(!(toAir > flow * 60 / 2), "evaporation.millilitresPerHour", toAir,
                $"at most half the drip, {Findings.Text(flow * 60 / 2)} mL/h", "Drip faster, or cover the vessel: it would not fill.");
        }
    }

    private static void CheckMatch(Match match, Findings findings)
    {
        findings.Require(match.ToleranceMicrosiemensPerCm is null != match.ToleranceFractionOfDifference is null, "match.toleranceMicrosiemensPerCm",
            match.ToleranceMicrosiemensPerCm, "exactly one of toleranceMicrosiemensPerCm and toleranceFractionOfDifference", match.ToleranceMicrosiemensPerCm is null ? "Give one of the two." : "Keep one of the two.");
        findings.WithinIfGiven("match.toleranceMicrosiemensPerCm", match.ToleranceMicrosiemensPerCm, 1, 20_000, "µS/cm", "Give how near the two waters must be.");
        findings.WithinIfGiven("match.toleranceFractionOfDifference", match.ToleranceFractionOfDifference, 0.005, 0.9, "(a fraction)", "0.1 means within a tenth of the first difference.");
        findings.Within("match.temperatureToleranceCelsius", match.TemperatureToleranceCelsius, 0.1, 10, "°C", "1 to 2 is usual.");
        findings.Within("match.replacedFraction", match.ReplacedFraction, 0.5, 0.99, "(a share)", "0.75 is the first water made four times as much.");
        findings.Within("match.dwellMinutes", match.DwellMinutes, 0, 240, "min", "10 is usual.");
    }

    private static void CheckSource(Source source, Findings findings)
    {
        findings.Within("source.volumeLitres", source.VolumeLitres, 1, 1_000_000, "L", "Give the water in the tank.");
        findings.Require(source.MaxDrawLitres > 0 && source.MaxDrawLitres <= source.VolumeLitres, "source.maxDrawLitres", source.MaxDrawLitres,
            $"more than 0, to the source's volume, {Findings.Text(source.VolumeLitres)} L", "Give how much the tank may lose.");
        findings.Within("source.surfaceAreaSquareMetres", source.SurfaceAreaSquareMetres, 0.01, 1000, "m2", "Give the area of the tank's water surface, length x width.");
        findings.Within("source.intakeDepthMillimetres", source.IntakeDepthMillimetres, 1, 3000, "mm", "Measure how far the intake reaches below the surface.");
        findings.Require(source.SurfaceAreaSquareMetres * source.IntakeDepthMillimetres <= source.VolumeLitres, "source.intakeDepthMillimetres", source.IntakeDepthMillimetres,
            $"at most {Findings.Text(source.VolumeLitres / source.SurfaceAreaSquareMetres)} mm: surface x depth cannot exceed the source's volume",
            "Check volumeLitres, surfaceAreaSquareMetres (m2) and this depth (mm).");
        findings.WithinIfGiven("source.heaterTopDepthMillimetres", source.HeaterTopDepthMillimetres, 0, 3000, "mm", "Measure from the surface down to the heater's own mark, or leave it out.");
        findings.WithinIfGiven("source.newWaterMicrosiemensPerCm", source.NewWaterMicrosiemensPerCm, 0, 100_000, "µS/cm", "Measure the water that you change with, at 25 °C, or leave it out.");
        findings.WithinIfGiven("source.newWaterCelsius", source.NewWaterCelsius, 0, 40, "°C", "Measure how warm the water is that you change with, or leave it out.");
        findings.WithinIfGiven("source.topOffReservoirLitres", source.TopOffReservoirLitres, 0, 100_000, "L", "Give what the automatic top-off could add.");
    }

    /// <summary>A probe that goes by the scale of sea water has no reading of what lies off it, and no run could begin.</summary>
    private static void CheckWaters(Waters waters, bool sea, Findings findings)
    {
        var (saltiest, warmest) = sea ? (Math.Floor(1000 * PracticalSalinity.MillisiemensPerCm(PracticalSalinity.Max, 25)), PracticalSalinity.MaxCelsius) : (100_000, 45);
        var scale = sea ? " Compensation seaWater ends at salinity 42 and 35 °C (PSS-78): another suits such water." : "";
        findings.Within("waters.bagMicrosiemensPerCm", waters.BagMicrosiemensPerCm, 0, saltiest, "µS/cm", $"Measure the bag water, at 25 °C.{scale}");
        findings.Within("waters.bagTemperatureCelsius", waters.BagTemperatureCelsius, -2, warmest, "°C", $"Measure the bag water.{scale}");
        findings.Within("waters.tankMicrosiemensPerCm", waters.TankMicrosiemensPerCm, 0, saltiest, "µS/cm", $"Measure the tank, at 25 °C.{scale}");
        findings.Within("waters.tankTemperatureCelsius", waters.TankTemperatureCelsius, -2, warmest, "°C", $"Measure the tank.{scale}");
    }

    private static void CheckDrawOffs(Station station, Findings findings)
    {
        var earliest = 0.0;
        for (var i = 0; i < station.DrawOffs.Count; i++)
        {
            var (key, drawOff) = ($"drawOffs[{i}]", station.DrawOffs[i]);
            findings.Within($"{key}.atSeconds", drawOff.AtSeconds, earliest, HoursInLongestRun * 3600, "s", "Give them in order of time, in seconds from the start of the run.");
            findings.Require(drawOff.Litres > 0 && drawOff.Litres < station.Vessel.BrimLitres, $"{key}.litres", drawOff.Litres,
                $"more than 0 and less than the brim, {Findings.Text(station.Vessel.BrimLitres)} L", "Give how much is taken out.");
            findings.Within($"{key}.relativeSd", drawOff.RelativeSd, 0, 1, "(a fraction)", "A jug is good to 0.02.");
            earliest = Math.Max(earliest, drawOff.AtSeconds);
        }
    }
}
