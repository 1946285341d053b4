using Evenwater.Core.Quantities;

namespace Evenwater.Core.Calibration;

/// <summary>How good a record is between two calibrations.</summary>
public enum DriftGrade
{
    /// <summary>Hardly any correction.</summary>
    Excellent,

    /// <summary>A small correction.</summary>
    Good,

    /// <summary>A correction that matters.</summary>
    Fair,

    /// <summary>A large correction.</summary>
    Poor,

    /// <summary>Beyond the largest that may be corrected at all: the record is better left out.</summary>
    BeyondCorrection,
}

/// <summary>
/// Rates a record by |fouling| + |drift| (USGS TM1-D3, Wagner and others 2006, tables of accuracy ratings and of maximum allowable limits, as a program that cites them has them; the report's own tables were not read). On a limit the better grade holds.
/// </summary>
public static class DriftRating
{
    /// <summary>The grade.</summary>
    /// <param name="kind">What is measured.</param>
    /// <param name="combined">|fouling| + |drift|, 0 or more: °C, % of specific conductance, or pH.</param>
    public static DriftGrade Of(DriftKind kind, double combined)
    {
        var limits = Limits(kind);
        return Bounds.Check(combined, 0, double.MaxValue, "(a sum of sizes)") <= limits.Excellent ? DriftGrade.Excellent
            : combined <= limits.Good ? DriftGrade.Good
            : combined <= limits.Fair ? DriftGrade.Fair
            : combined <= limits.Most ? DriftGrade.Poor
            : DriftGrade.BeyondCorrection;
    }

    /// <summary>The most that may be corrected at all, °C, % of specific conductance, or pH (TM1-D3, maximum allowable limits).</summary>
    public static double MostCorrectable(DriftKind kind) => Limits(kind).Most;

    private static (double Excellent, double Good, double Fair, double Most) Limits(DriftKind kind) => kind switch
    {
        DriftKind.Temperature => (0.2, 0.5, 0.8, 2),
        DriftKind.SpecificConductance => (3, 10, 15, 30),
        DriftKind.Ph => (0.2, 0.5, 0.8, 2),
        _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "no ratings of this"),
    };
}
