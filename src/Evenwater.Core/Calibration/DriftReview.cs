using Evenwater.Core.Stations;

namespace Evenwater.Core.Calibration;

/// <summary>One reading of the past, and what it would have been without fouling, and without drift as well.</summary>
/// <param name="At">When it was read, a label.</param>
/// <param name="Raw">As it was read and decided by.</param>
/// <param name="WithoutFouling">Corrected for fouling.</param>
/// <param name="Corrected">Corrected for fouling, then for drift.</param>
public readonly record struct ReviewedReading(DateTimeOffset At, double Raw, double WithoutFouling, double Corrected);

/// <summary>
/// A record between two calibrations, corrected afterwards so that a person may review it. It is never fed to the estimator, the interlock or any other part of control, and changes nothing in the log: what was decided was decided by
/// the raw readings, and a calibration takes effect from its own moment on.
/// </summary>
/// <remarks>
/// Both corrections grow in a straight line from nothing at the calibration to their whole at the check; fouling first, drift on the series corrected for fouling (USGS TM1-D3, Wagner and others 2006, as a program that
/// cites it has it). Temperature and pH are corrected by the error itself, conductivity by its percentage, since dirt and drift of a cell change its constant. That errors grow in a straight line is an assumption: a knock or a piece
/// of weed comes at once.
/// </remarks>
/// <param name="Readings">In the order they were given.</param>
public sealed record DriftReview(IReadOnlyList<ReviewedReading> Readings)
{
    /// <summary>The corrected series, or why there is none; the readings themselves are left as they are.</summary>
    /// <param name="kind">What is measured.</param>
    /// <param name="check">What the visit at the end found.</param>
    /// <param name="calibratedAt">The calibration at the beginning.</param>
    /// <param name="checkedAt">The visit at the end, later.</param>
    /// <param name="readings">Readings between both; °C, µS/cm at 25 °C, or pH.</param>
    /// <param name="before">What was found at the beginning, where that was a check that cleaned the probe and left it as it read: its drift goes on from there. Null for a calibration.</param>
    public static Outcome<DriftReview> Of(
        DriftKind kind, DriftCheck check, DateTimeOffset calibratedAt, DateTimeOffset checkedAt, IReadOnlyList<(DateTimeOffset At, double Value)> readings, DriftCheck? before = null)
    {
        if (checkedAt <= calibratedAt)
        {
            return new Problem("checkedAt", $"{checkedAt:u}", $"later than the calibration, {calibratedAt:u}", "Give the dates of the calibration before the record and of the check after it.");
        }

        if (check.Wrong(kind) is { } wrong) return wrong;
        var combined = check.Combined(kind);
        if (DriftRating.Of(kind, combined) == DriftGrade.BeyondCorrection)
        {
            return new Problem("combined", Findings.Text(combined), $"0 to {Findings.Text(DriftRating.MostCorrectable(kind))} {Unit(kind)}", "Leave the record out; clean the probe, look at it, and calibrate it.");
        }

        var corrected = new ReviewedReading[readings.Count];
        for (var i = 0; i < readings.Count; i++)
        {
            var (at, raw) = readings[i];
            if (at < calibratedAt || at > checkedAt)
            {
                return new Problem($"readings[{i}].at", $"{at:u}", $"{calibratedAt:u} to {checkedAt:u}", "Review the readings between the calibration and the check alone.");
            }

            var share = (at - calibratedAt) / (checkedAt - calibratedAt);
            var clean = kind == DriftKind.SpecificConductance ? raw * (1 + (share * check.FoulingPercent / 100)) : raw + (share * check.Fouling);
            var right = kind == DriftKind.SpecificConductance
                ? clean * (1 + (Between(before?.DriftPercent, check.DriftPercent, share) / 100))
                : clean + Between(before?.Drift, check.Drift, share);
            corrected[i] = new ReviewedReading(at, raw, clean, right);
        }

        return new DriftReview(corrected);
    }

    private static double Between(double? start, double end, double share) => (start ?? 0) + (share * (end - (start ?? 0)));

    private static string Unit(DriftKind kind) => kind switch
    {
        DriftKind.Temperature => "°C",
        DriftKind.SpecificConductance => "%",
        DriftKind.Ph => "(pH)",
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "no unit of this"),
    };
}
