using Evenwater.Core.Stations;

namespace Evenwater.Core.Calibration;

/// <summary>A number that a calibration sets, with its spread.</summary>
/// <param name="Value">In its unit, finite.</param>
/// <param name="Sd">1-sigma, in the same unit, 0 or more.</param>
/// <param name="Unit">Such as 1/cm, °C, counts/kg.</param>
public readonly record struct CalibratedValue(double Value, double Sd, string Unit);

/// <summary>That a calibration was made: when, by whom, what it changed, and when the next is due. Dates are labels; nothing is decided by them.</summary>
public sealed record CalibrationRecord
{
    /// <summary>Longest name or key, characters.</summary>
    public const int LongestName = 64;

    /// <summary>Longest note, characters.</summary>
    public const int LongestNote = 400;

    private CalibrationRecord(string key, DateTimeOffset at, string by, string note, CalibratedValue? before, CalibratedValue after, DateTimeOffset due)
        => (Key, At, By, Note, Before, After, Due) = (key, at, by, note, before, after, due);

    /// <summary>What was calibrated, as the station file calls it, such as sensors.vesselConductivity.cellConstantPerCm.</summary>
    public string Key { get; }

    /// <summary>When.</summary>
    public DateTimeOffset At { get; }

    /// <summary>Who did it, as that person wants to be called.</summary>
    public string By { get; }

    /// <summary>With what, and what was seen; may be empty.</summary>
    public string Note { get; }

    /// <summary>What held until then; null for the first calibration.</summary>
    public CalibratedValue? Before { get; }

    /// <summary>What holds from then on.</summary>
    public CalibratedValue After { get; }

    /// <summary>When the next is due.</summary>
    public DateTimeOffset Due { get; }

    /// <summary>Whether the next is due.</summary>
    /// <param name="now">The date as far as it is known.</param>
    public bool IsDue(DateTimeOffset now) => now >= Due;

    /// <summary>The record, or what is wrong with it.</summary>
    /// <param name="key">1 to 64 characters.</param>
    /// <param name="at">When.</param>
    /// <param name="by">1 to 64 characters.</param>
    /// <param name="note">Up to 400 characters.</param>
    /// <param name="before">What held until then, in the unit of <paramref name="after"/>; null for the first.</param>
    /// <param name="after">What holds from then on.</param>
    /// <param name="due">When the next is due, later than <paramref name="at"/>.</param>
    public static Outcome<CalibrationRecord> Of(string key, DateTimeOffset at, string by, string note, CalibratedValue? before, CalibratedValue after, DateTimeOffset due)
    {
        var findings = new Findings();
        findings.Require(key.Trim().Length is > 0 and <= LongestName, "key", key, $"1 to {LongestName} characters", "Say what was calibrated.");
        findings.Require(by.Trim().Length is > 0 and <= LongestName, "by", by, $"1 to {LongestName} characters", "Say who did it.");
        findings.Require(note.Length <= LongestNote, "note", $"{note.Length} characters", $"up to {LongestNote}", "Say it shorter.");
        findings.Require(double.IsFinite(after.Value), "after.value", after.Value, "a number", "Give what the calibration came to.");
        findings.Require(after.Sd >= 0 && double.IsFinite(after.Sd), "after.sd", after.Sd, "0 or more", "Give the calibration's own spread.");
        findings.Require(before is not { } former || former.Unit == after.Unit, "before.unit", before?.Unit, $"{after.Unit}, the unit of the new value", "Give both in one unit.");
        findings.Require(due > at, "due", $"{due:u}", $"later than {at:u}", "Give the date of the next calibration.");
        return findings.Problems.Count > 0 ? findings.Problems[0] : new CalibrationRecord(key.Trim(), at, by.Trim(), note, before, after, due);
    }
}
