using Evenwater.Core.Stations;

namespace Evenwater.Core.Calibration;

/// <summary>A number of the station file that a calibration sets.</summary>
/// <param name="Key">What was calibrated, as the station file calls it, such as sensors.vesselConductivity.cellConstantPerCm; 1 to 64 characters.</param>
/// <param name="Unit">Such as 1/cm, °C, counts/kg.</param>
/// <param name="Before">What held until then, in that unit; null where nothing did.</param>
/// <param name="After">What holds from then on, finite.</param>
/// <param name="Sd">1-sigma of that, in the same unit, 0 or more.</param>
public sealed record CalibratedValue(string Key, string Unit, double? Before, double After, double Sd);

/// <summary>What a visit with brush, second meter and standard found out about the time before it.</summary>
/// <param name="Kind">What the probe measures.</param>
/// <param name="Check">The six readings.</param>
public sealed record DriftFound(DriftKind Kind, DriftCheck Check);

/// <summary>
/// That a calibration was made, or that it was looked how far a probe had drifted: when, by whom, what it changed, and when the next is due. Dates are labels; nothing is decided by them.
/// </summary>
/// <param name="Probe">Which, in one word, such as vessel-conductivity; 1 to 64 characters.</param>
/// <param name="At">When.</param>
/// <param name="By">Who did it, as that person wants to be called; 1 to 64 characters.</param>
/// <param name="Note">With what, and what was seen; up to 400 characters, may be empty.</param>
/// <param name="Values">What it sets; none where it was only looked.</param>
/// <param name="Due">When the next is due, later than <paramref name="At"/>.</param>
public sealed record CalibrationRecord(string Probe, DateTimeOffset At, string By, string Note, IReadOnlyList<CalibratedValue> Values, DateTimeOffset Due)
{
    /// <summary>Longest name or key, characters.</summary>
    public const int LongestName = 64;

    /// <summary>Longest note, characters.</summary>
    public const int LongestNote = 400;

    /// <summary>How the probe had drifted and fouled since the calibration before, when that was looked at.</summary>
    public DriftFound? Drift { get; init; }

    /// <summary>The record, or what is wrong with it.</summary>
    public Outcome<CalibrationRecord> Checked()
    {
        var findings = new Findings();
        findings.Require(IsName(Probe), "probe", Probe, $"1 to {LongestName} characters", "Say what was calibrated.");
        findings.Require(IsName(By), "by", By, $"1 to {LongestName} characters", "Say who did it.");
        findings.Require(Note.Length <= LongestNote, "note", $"{Note.Length} characters", $"up to {LongestNote}", "Say it shorter.");
        findings.Require(Values.Count > 0 || Drift is not null, "values", Values.Count, "1 or more, or a check of the drift", "Say what the calibration came to.");
        foreach (var value in Values)
        {
            findings.Require(IsName(value.Key), "key", value.Key, $"1 to {LongestName} characters", "Say what was calibrated.");
            findings.Require(double.IsFinite(value.After), $"{value.Key}.after", value.After, "a number", "Give what the calibration came to.");
            findings.Require(value.Sd >= 0 && double.IsFinite(value.Sd), $"{value.Key}.sd", value.Sd, "0 or more", "Give the calibration's own spread.");
        }

        findings.Require(Due > At, "due", $"{Due:u}", $"later than {At:u}", "Give the date of the next calibration.");
        return findings.Problems.Count > 0 ? findings.Problems[0] : Drift?.Check.Wrong(Drift.Kind) is { } wrong ? wrong : this;
    }

    private static bool IsName(string text) => text.Trim().Length is > 0 and <= LongestName;
}
