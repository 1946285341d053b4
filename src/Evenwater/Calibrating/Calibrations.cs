using Evenwater.Core.Calibration;
using Evenwater.Core.Keeping;
using Evenwater.Core.Stations;
using Evenwater.Running;

namespace Evenwater.Calibrating;

/// <summary>The calibrations that stand in a keeper's book.</summary>
internal static class Calibrations
{
    /// <summary>A DS18B20-type data sheet's ±0.5 °C as 1-sigma, for a thermometer that nobody has calibrated.</summary>
    private const double UncalibratedCelsius = 0.25;

    /// <summary>What an offset found at one temperature is worth at another, °C (typical error curves of such data sheets, from memory).</summary>
    private const double ElsewhereCelsius = 0.05;

    /// <summary>The keys of what rests on nothing else that is calibrated.</summary>
    private static readonly string[] Alone = ["sensors.loadCell.", "sensors.level.", "drip."];

    /// <summary>Those that stand, in the order they were written.</summary>
    public static IReadOnlyList<CalibrationRecord> Standing(Book? book) => book is null ? [] : [.. book.Written.Select(note => note.Calibration).OfType<CalibrationRecord>()];

    /// <summary>The last calibration or check of each probe, and when the next is due.</summary>
    public static IReadOnlyList<CalibrationDue> Due(IEnumerable<CalibrationRecord> standing) =>
        [.. standing.GroupBy(record => record.Probe).Select(records => records.Last()).Select(last => new CalibrationDue(last.Probe, last.At, last.Due, last.Values.Count == 0))];

    /// <summary>How well a thermometer is known, 1-sigma, °C. The tank's, set beside the vessel's in one cup, is known no better than that one was then.</summary>
    public static double CelsiusSd(IEnumerable<CalibrationRecord> standing, bool vessel)
    {
        if (Last(standing, $"sensors.{(vessel ? "vessel" : "tank")}ThermometerOffsetCelsius") is not { Record: var record, Value.Sd: var sd }) return UncalibratedCelsius;
        var elsewhere = !vessel && record.Probe == CalibratedProbe.Both.Name ? CelsiusSd(standing.TakeWhile(r => r != record), vessel: true) : ElsewhereCelsius;
        return Math.Sqrt((sd * sd) + (elsewhere * elsewhere));
    }

    /// <summary>How well both cells agree when one of them is newly known by a standard: by both standards' spreads, where the other was calibrated by one too; never better told than before they were matched.</summary>
    /// <param name="standing">What stands.</param>
    /// <param name="vessel">The vessel's cell is newly known; else the tank's.</param>
    /// <param name="relativeSd">How well, as a fraction.</param>
    public static double GainRatioSd(IEnumerable<CalibrationRecord> standing, bool vessel, double relativeSd)
    {
        var other = Last(standing, $"sensors.{(vessel ? "tank" : "vessel")}Conductivity.cellConstantPerCm");
        var otherSd = other is { Record.Probe: not "both", Value: { After: > 0 } value } ? value.Sd / value.After : Probes.UnmatchedSd;
        return Math.Clamp(Math.Sqrt((relativeSd * relativeSd) + (otherSd * otherSd)), Probes.MatchedSd, Probes.UnmatchedSd);
    }

    /// <summary>
    /// What a calibration rests on and somebody else calibrated while it was made, in words; null when nothing. Cells and thermometers rest on each other: two in one cup would go on agreeing by a constant that holds no longer.
    /// Scale, level sensor and drop rest on themselves alone.
    /// </summary>
    /// <param name="begun">The station as it was calibrated when this began.</param>
    /// <param name="now">As it is now.</param>
    /// <param name="found">What this came to.</param>
    public static string? Meanwhile(Station begun, Station now, Found found)
    {
        var part = found.Values.Count > 0 ? Part(found.Values[0].Key) : "";
        var changes = CalibrationText.Between(begun, now, key => Part(key.Name) == part).ToList();
        return changes.Count == 0 ? null : string.Join(", ", changes);
    }

    private static string Part(string key) => Alone.FirstOrDefault(part => key.StartsWith(part, StringComparison.Ordinal)) ?? "";

    private static (CalibrationRecord Record, CalibratedValue Value)? Last(IEnumerable<CalibrationRecord> standing, string key) =>
        standing.SelectMany(record => record.Values.Where(value => value.Key == key), (record, value) => ((CalibrationRecord, CalibratedValue)?)(record, value)).LastOrDefault();
}
