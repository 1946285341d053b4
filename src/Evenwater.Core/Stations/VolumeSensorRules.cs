namespace Evenwater.Core.Stations;

/// <summary>Ranges of what weighs the vessel's water or measures its height.</summary>
internal static class VolumeSensorRules
{
    /// <summary>Ends of a 24-bit converter's scale (HX711 data sheet, "Serial Interface").</summary>
    private const int LeastCounts = -8_388_608;
    private const int MostCounts = 8_388_607;

    /// <summary>A cell with fewer counts to the kilogram than this cannot tell 10 mL, one with more is full below a litre.</summary>
    internal const double FewestCountsPerKilogram = 100;
    internal const double MostCountsPerKilogram = 8_000_000;

    /// <summary>A sensor of 5 V over 5 mm, and one of 10 mV over half a metre.</summary>
    internal const double LeastMillimetresPerVolt = 1;
    internal const double MostMillimetresPerVolt = 50_000;

    public static void Check(Station station, Findings findings)
    {
        if (station.Sensors.LoadCell is { } cell) Check("sensors.loadCell", cell, findings);
        if (station.Sensors.Level is not { } level) return;
        Check("sensors.level", level, findings);
        findings.Require(station.Vessel.AreaSquareMetres is not null, "vessel.areaSquareMetres", station.Vessel.AreaSquareMetres,
            "0.001 to 5 m2, because sensors.level is given", "Give the area of the water surface: a height is no volume without it.");
    }

    private static void Check(string key, LoadCellInput cell, Findings findings)
    {
        findings.Within($"{key}.zeroCounts", cell.ZeroCounts, LeastCounts, MostCounts, "(counts of 24 bits)", "Give what it reads with the empty vessel on it.");
        findings.Require(Math.Abs(cell.CountsPerKilogram) is >= FewestCountsPerKilogram and <= MostCountsPerKilogram, $"{key}.countsPerKilogram", cell.CountsPerKilogram,
            $"{FewestCountsPerKilogram} to {MostCountsPerKilogram:0} counts/kg, or the same below 0", "Put a known mass on it: the difference in counts over its kilograms.");
        findings.Within($"{key}.zeroSdKilograms", cell.ZeroSdKilograms, 0.001, 5, "kg", "0.05 when the vessel was weighed empty and wiped dry.");
    }

    private static void Check(string key, LevelInput level, Findings findings)
    {
        SensorRules.CheckAdc(key, level.AdcAddress, level.AdcInput, level.FullScaleVolts, findings);
        findings.Within($"{key}.zeroVolts", level.ZeroVolts, 0, level.FullScaleVolts, "V, to its full scale", "Give what it reads with the water at the vessel's bottom.");
        findings.Within($"{key}.millimetresPerVolt", level.MillimetresPerVolt, LeastMillimetresPerVolt, MostMillimetresPerVolt, "mm/V", "Raise the water by a known height: millimetres over the difference in volts.");
        findings.Require(level.BrokenBelowVolts >= 0 && level.BrokenBelowVolts <= level.ZeroVolts, $"{key}.brokenBelowVolts", level.BrokenBelowVolts,
            $"0 to zeroVolts, {Findings.Text(level.ZeroVolts)} V", "A 4 to 20 mA loop over 100 ohm: 0.36. Otherwise leave it out.");
        findings.Within($"{key}.zeroSdMillimetres", level.ZeroSdMillimetres, 0.1, 500, "mm", "3 when it was set against a ruler.");
    }
}
