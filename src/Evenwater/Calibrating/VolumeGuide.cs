using Evenwater.Core;
using Evenwater.Core.Calibration;
using Evenwater.Core.Stations;
using Evenwater.Running;

namespace Evenwater.Calibrating;

/// <summary>Scale, level sensor and drop counter by known volumes of water.</summary>
/// <param name="cups">Hands and patience.</param>
/// <param name="standing">The calibrations that stand.</param>
internal sealed class VolumeGuide(Cups cups, IReadOnlyList<CalibrationRecord> standing)
{
    private const int Wanted = 60;

    /// <summary>A trend may leave a mean off by this: 5 g, 1 mm. Common practice, no source.</summary>
    private const double AllowedKilograms = 0.005;
    private const double AllowedMillimetres = 1;

    /// <summary>The scale under the vessel.</summary>
    /// <param name="litres">What is poured in, one after the other, each told from empty.</param>
    /// <param name="litresSd">1-sigma of each, L.</param>
    /// <param name="celsius">Temperature of that water, which is fresh: kilograms are made of its litres.</param>
    public async Task<Outcome<Found>> ScaleAsync(IReadOnlyList<double> litres, double litresSd, double celsius)
    {
        var cell = cups.Station.Sensors.LoadCell!;
        var (points, problem) = await PointsAsync("load-cell", "fresh water (salt water is heavier)", litres, Channel.Mass, code => code, AllowedKilograms * Math.Abs(cell.CountsPerKilogram));
        if (problem is { } wrong) return wrong;
        var outcome = VolumeCalibration.Scale(points, litresSd, celsius);
        if (outcome.Found is not { } line) return outcome.Refusal!.Value;
        var slope = Math.Abs(line.CountsPerKilogram);
        return new Found(
            [
                new("sensors.loadCell.zeroCounts", "counts", cell.ZeroCounts, line.ZeroCounts, line.ZeroSdKilograms * slope),
                new("sensors.loadCell.countsPerKilogram", "counts/kg", cell.CountsPerKilogram, line.CountsPerKilogram, line.CountsPerKilogramRelativeSd * slope),
                .. ZeroSd("sensors.loadCell.zeroSdKilograms", "kg", cell.ZeroSdKilograms, line.ZeroSdKilograms),
            ],
            Told(points, "counts"));
    }

    /// <summary>The level sensor in the vessel.</summary>
    /// <inheritdoc cref="ScaleAsync"/>
    public async Task<Outcome<Found>> LevelAsync(IReadOnlyList<double> litres, double litresSd)
    {
        var level = cups.Station.Sensors.Level!;
        var (points, problem) = await PointsAsync("level", "water like the tank's", litres, Channel.Level, code => Calibrate.Volts(code, level), AllowedMillimetres / level.MillimetresPerVolt);
        if (problem is { } wrong) return wrong;
        var outcome = VolumeCalibration.Level(points, litresSd, cups.Station.Vessel.AreaSquareMetres!.Value);
        return outcome.Found is not { } line
            ? outcome.Refusal!.Value
            : new Found(
                [
                    new("sensors.level.zeroVolts", "V", level.ZeroVolts, line.ZeroVolts, line.ZeroSdMillimetres / line.MillimetresPerVolt),
                    new("sensors.level.millimetresPerVolt", "mm/V", level.MillimetresPerVolt, line.MillimetresPerVolt, line.MillimetresPerVoltRelativeSd * line.MillimetresPerVolt),
                    .. ZeroSd("sensors.level.zeroSdMillimetres", "mm", level.ZeroSdMillimetres, line.ZeroSdMillimetres),
                ],
                Told(points, "V"));
    }

    /// <summary>The drop, by a cylinder under the tip.</summary>
    /// <param name="millilitres">What was collected, mL.</param>
    /// <param name="drops">What was counted; null: the counter's own count while the keeper collects.</param>
    public async Task<Outcome<Found>> DropsAsync(double millilitres, double? drops)
    {
        if (drops is null)
        {
            await cups.WaitAsync("With the drip running, hold a cylinder under its tip.");
            var (from, to) = (0L, 0L);
            if (!await cups.LookAsync(look => (from = look.Drops) >= 0, inRun: true)) return cups.Ended!.Value;
            await cups.WaitAsync($"Take it away when there are {millilitres:0.##} mL in it.");
            if (!await cups.LookAsync(look => (to = look.Drops) >= 0, inRun: true)) return cups.Ended!.Value;
            if (to < from) return new Problem("drops", "the count began anew", "one count from the first drop to the last", "The daemon was started again meanwhile: see that the drip runs, and collect anew. The former calibration stays.");
            drops = to - from;
        }

        var outcome = VolumeCalibration.Drop([new(millilitres, drops.Value)], MillilitresSd);
        var drip = cups.Station.Drip;
        return outcome.Found is not { } drop
            ? outcome.Refusal!.Value
            : new Found(
                [
                    new("drip.dropMillilitres", "mL", drip.DropMillilitres, drop.Millilitres, drop.RelativeSd * drop.Millilitres),
                    new("drip.dropRelativeSd", "(a fraction)", drip.DropRelativeSd, Math.Max(drop.RelativeSd, LeastDropSd), 0),
                ],
                $"{drops:0} drops, {millilitres:0.##} mL");
    }

    /// <summary>A run's forecast takes the zero to be no better known than the volumes told it, nor than the station file says of hoses and drops; nothing where that is what holds.</summary>
    private IEnumerable<CalibratedValue> ZeroSd(string key, string unit, double before, double found)
    {
        var file = standing.SelectMany(record => record.Values).FirstOrDefault(value => value.Key == key)?.Before ?? before; // as before any calibration
        var after = Math.Max(file, found);
        return Math.Abs((after / before) - 1) < SameSd ? [] : [new(key, unit, before, after, 0)];
    }

    /// <summary>The same volumes poured again tell the same spread, but for rounding.</summary>
    private const double SameSd = 0.001;

    /// <summary>A small measuring cylinder is read to this, mL. Common practice, no source.</summary>
    private const double MillilitresSd = 0.1;

    /// <summary>A drop changes with rate and temperature by more than a cylinder tells. Common practice, no source.</summary>
    private const double LeastDropSd = 0.02;

    private async Task<(List<KnownPoint> Points, Problem? Problem)> PointsAsync(string probe, string water, IReadOnlyList<double> litres, Channel channel, Func<int, double> value, double allowed)
    {
        var points = new List<KnownPoint>();
        Problem? problem = null;
        var inside = 0.0;
        foreach (var volume in litres)
        {
            await cups.DoAsync(
                $"pour {SimulatedHands.Text(volume)}",
                volume == 0 ? "Empty the vessel, wipe it dry, and put it back with its hoses as in a run."
                : $"{(volume < inside ? "Take out" : $"Pour in {water}")} until there are {volume:0.###} L in the vessel, measured by a jug you trust or weighed; hands off.");
            inside = volume;
            var steadiness = new Steadiness(Wanted, allowed);
            if (!await cups.SettleAsync(steadiness, look => look.Raw[channel] is { Reason: Reason.None } sample ? (value(sample.Code), sample.TakenAt.Seconds) : null))
            {
                problem = new Problem(
                    probe, steadiness.Count > 0 ? $"still moving after {Cups.PatienceSeconds / 60:0} min" : "no reading", "steady",
                    "See that nothing touches or shakes the vessel and that the sensor answers. The former calibration stays.");
                break;
            }

            points.Add(new KnownPoint(volume, steadiness.Mean));
        }

        await cups.DoAsync("out", problem is null ? "That was the last." : "It goes no further: pour in no more.");
        return (points, problem);
    }

    private static string Told(IEnumerable<KnownPoint> points, string unit) =>
        string.Join("; ", points.Select(p => $"{p.Known:0.###} L: {p.Device.ToString(unit == "V" ? "0.####" : "0")} {unit}"));
}
