using Evenwater.Core.Quantities;
using Evenwater.Core.Stations;
using Evenwater.Core.Water;

namespace Evenwater.Core.Calibration;

/// <summary>A scale's line: counts = zero + counts per kilogram × kilograms of water.</summary>
/// <param name="ZeroCounts">With the empty vessel on it.</param>
/// <param name="ZeroSdKilograms">1-sigma of the zero, kg.</param>
/// <param name="CountsPerKilogram">Negative when the bridge is wired the other way round.</param>
/// <param name="CountsPerKilogramRelativeSd">1-sigma of that, as a fraction.</param>
public sealed record ScaleLine(double ZeroCounts, double ZeroSdKilograms, double CountsPerKilogram, double CountsPerKilogramRelativeSd);

/// <summary>A level sensor's line: mm above the bottom = (volts - zero) × mm per volt.</summary>
/// <param name="ZeroVolts">With the water at the vessel's bottom, V.</param>
/// <param name="ZeroSdMillimetres">1-sigma of the zero, mm.</param>
/// <param name="MillimetresPerVolt">Rise of the water for each volt more.</param>
/// <param name="MillimetresPerVoltRelativeSd">1-sigma of that, as a fraction.</param>
public sealed record LevelLine(double ZeroVolts, double ZeroSdMillimetres, double MillimetresPerVolt, double MillimetresPerVoltRelativeSd);

/// <summary>A drop's volume.</summary>
/// <param name="Millilitres">Volume, mL.</param>
/// <param name="RelativeSd">1-sigma of it, as a fraction.</param>
public sealed record DropSize(double Millilitres, double RelativeSd);

/// <summary>Scale, level sensor and drop counter by known volumes of water.</summary>
public static class VolumeCalibration
{
    /// <summary>Of fewer drops than this one miscounted is more than 5 %. Derivation.</summary>
    public const int FewestDrops = 20;

    /// <summary>Drops in a millilitre that a tip can give, as <see cref="DropFactor"/> has it.</summary>
    private const double FewestDropsPerMillilitre = 5;
    private const double MostDropsPerMillilitre = 100;

    /// <summary>A scale by known volumes.</summary>
    /// <param name="points">Litres of water in the vessel, 0 for empty, and the scale's counts.</param>
    /// <param name="litresSd">1-sigma of one volume, L, above 0: 0.005 for a litre in a kitchen jug that was weighed (common practice, no source).</param>
    /// <param name="waterCelsius">Temperature of the water, 0 to 60 °C: its density makes kilograms of litres.</param>
    public static Outcome<ScaleLine> Scale(IReadOnlyList<KnownPoint> points, double litresSd, double waterCelsius)
    {
        var kilogramsPerLitre = FreshWater.KilogramsPerCubicMetre(Bounds.Check(waterCelsius, 0, 60, "°C")) / 1000;
        var outcome = KnownLine.Through("loadCell", "kg", litresSd * kilogramsPerLitre, [.. points.Select(p => p with { Known = p.Known * kilogramsPerLitre })]);
        if (!outcome.IsFound) return outcome.Refusal!.Value;
        var (line, slope) = (outcome.Found.Line, Math.Abs(outcome.Found.Line.Slope));
        return slope is >= VolumeSensorRules.FewestCountsPerKilogram and <= VolumeSensorRules.MostCountsPerKilogram
            ? new ScaleLine(line.Intercept, line.InterceptSd(outcome.Found.PointSd) / slope, line.Slope, line.SlopeSd(outcome.Found.PointSd) / slope)
            : new Problem("loadCell.countsPerKilogram", Findings.Text(line.Slope),
                $"{VolumeSensorRules.FewestCountsPerKilogram} to {VolumeSensorRules.MostCountsPerKilogram:0} counts/kg, or the same below 0", "See that the vessel stands on the scale alone. The former calibration stays.");
    }

    /// <summary>A level sensor by known volumes in a vessel with straight walls.</summary>
    /// <param name="points">Litres of water in the vessel, 0 for none above the bottom, and the sensor's volts.</param>
    /// <param name="litresSd">1-sigma of one volume, L, above 0.</param>
    /// <param name="areaSquareMetres">Area of the water's surface, 0.001 to 5 m²; an error of it goes into the slope whole.</param>
    public static Outcome<LevelLine> Level(IReadOnlyList<KnownPoint> points, double litresSd, double areaSquareMetres)
    {
        var millimetresPerLitre = 1 / Bounds.Check(areaSquareMetres, 0.001, 5, "m²");
        var outcome = KnownLine.Through("level", "mm", litresSd * millimetresPerLitre, [.. points.Select(p => p with { Known = p.Known * millimetresPerLitre })]);
        if (!outcome.IsFound) return outcome.Refusal!.Value;
        var (line, voltsPerMillimetre) = (outcome.Found.Line, outcome.Found.Line.Slope);
        var millimetresPerVolt = 1 / voltsPerMillimetre;
        return millimetresPerVolt is >= VolumeSensorRules.LeastMillimetresPerVolt and <= VolumeSensorRules.MostMillimetresPerVolt
            ? new LevelLine(line.Intercept, line.InterceptSd(outcome.Found.PointSd) / voltsPerMillimetre, millimetresPerVolt, line.SlopeSd(outcome.Found.PointSd) / voltsPerMillimetre)
            : new Problem("level.millimetresPerVolt", Findings.Text(millimetresPerVolt), $"{VolumeSensorRules.LeastMillimetresPerVolt} to {VolumeSensorRules.MostMillimetresPerVolt:0} mm/V",
                "Its voltage must rise with the water: see how it is wired. The former calibration stays.");
    }

    /// <summary>A drop by counted drops into a cylinder: least squares through no drops, no water.</summary>
    /// <param name="points">Millilitres collected and drops counted, one or more times, at the rate that is dripped with: a drop changes with it.</param>
    /// <param name="millilitresSd">1-sigma of one volume, mL, above 0.</param>
    public static Outcome<DropSize> Drop(IReadOnlyList<KnownPoint> points, double millilitresSd)
    {
        Bounds.Check(millilitresSd, double.Epsilon, double.MaxValue, "mL");
        var (drops, together, most) = (0.0, 0.0, 0.0);
        for (var i = 0; i < points.Count; i++)
        {
            var (millilitres, counted) = (points[i].Known, points[i].Device);
            if (!(counted >= FewestDrops && millilitres > 0 && double.IsFinite(counted) && double.IsFinite(millilitres)))
                return new Problem($"dropCounter.points[{i}]", $"{Findings.Text(millilitres)} mL, {Findings.Text(counted)} drops", $"above 0 mL, {FewestDrops} drops or more", "Collect more: 10 mL are a few hundred drops.");
            drops += counted * counted;
            together += counted * millilitres;
        }

        if (points.Count == 0) return new Problem("dropCounter.points", "0", "1 or more", "Count drops into a cylinder.");
        var drop = together / drops;
        foreach (var point in points) most = Math.Max(most, Math.Abs((point.Known / (drop * point.Device)) - 1));
        if (!(1 / drop is >= FewestDropsPerMillilitre and <= MostDropsPerMillilitre))
            return new Problem("dropCounter.dropsPerMillilitre", Findings.Text(1 / drop), $"{FewestDropsPerMillilitre} to {MostDropsPerMillilitre} drops/mL", "See that the counter sees each drop once. The former calibration stays.");
        if (most > DropFactor.Tolerance)
            return new Problem("dropCounter.points", $"one off the mean drop by {most * 100:0} %", $"{DropFactor.Tolerance * 100:0} % or less, what a set may be off (ISO 8536-4, 7.8)", "The same rate for all, and count again. The former calibration stays.");
        var squares = points.Sum(p => (p.Known - (drop * p.Device)) * (p.Known - (drop * p.Device)));
        var pointSd = Math.Max(points.Count > 1 ? Math.Sqrt(squares / (points.Count - 1)) : 0, millilitresSd);
        return new DropSize(drop, pointSd / Math.Sqrt(drops) / drop);
    }
}
