using Evenwater.Core.Stations;

namespace Evenwater.Core.Calibration;

/// <summary>
/// What a visit with brush, second meter and standard found out about the time since the last calibration: fouling and drift, apart from each other (USGS TM1-D3, Wagner and others 2006, equations of fouling and of
/// calibration drift; from memory). First the probe is read as it is and after cleaning, in the tank, with the second meter's readings of the same moments, which take out what the water itself did; then it is read in a standard. Readings of conductivity are µS/cm at 25 °C.
/// </summary>
public sealed record DriftCheck
{
    /// <summary>The probe before cleaning, Mb.</summary>
    public required double ProbeBefore { get; init; }

    /// <summary>The probe after cleaning, Ma.</summary>
    public required double ProbeAfter { get; init; }

    /// <summary>The second meter at the moment of the first, Fb.</summary>
    public required double MeterBefore { get; init; }

    /// <summary>The second meter at the moment of the second, Fa.</summary>
    public required double MeterAfter { get; init; }

    /// <summary>What the standard has, Vs.</summary>
    public required double Standard { get; init; }

    /// <summary>What the cleaned probe reads in it, Vc.</summary>
    public required double ProbeInStandard { get; init; }

    /// <summary>Fouling, Ef = (Ma - Mb) - (Fa - Fb): above 0 when dirt made the probe read low.</summary>
    public double Fouling => ProbeAfter - ProbeBefore - (MeterAfter - MeterBefore);

    /// <summary>Drift, Ed = Vs - Vc: above 0 when the clean probe reads low.</summary>
    public double Drift => Standard - ProbeInStandard;

    /// <summary>Fouling in % of the reading before cleaning; only where that is above 0.</summary>
    public double FoulingPercent => 100 * Fouling / ProbeBefore;

    /// <summary>Drift in % of the reading in the standard; only where that is above 0.</summary>
    public double DriftPercent => 100 * Drift / ProbeInStandard;

    /// <summary>What is rated: |fouling| + |drift|, so that two that oppose each other do not cancel; °C, %, or pH.</summary>
    public double Combined(DriftKind kind) => kind == DriftKind.SpecificConductance ? Math.Abs(FoulingPercent) + Math.Abs(DriftPercent) : Math.Abs(Fouling) + Math.Abs(Drift);

    /// <summary>What is wrong with the six readings; null when nothing is, and only then do the sums above mean something.</summary>
    /// <param name="kind">What is measured: there is no percentage of a conductivity that is not above 0.</param>
    public Problem? Wrong(DriftKind kind)
    {
        ReadOnlySpan<(string Key, double Value)> all =
        [
            ("probeBefore", ProbeBefore), ("probeAfter", ProbeAfter), ("meterBefore", MeterBefore), ("meterAfter", MeterAfter), ("standard", Standard), ("probeInStandard", ProbeInStandard),
        ];
        foreach (var (key, value) in all)
        {
            if (!double.IsFinite(value) || (kind == DriftKind.SpecificConductance && value <= 0))
            {
                return new Problem(key, Findings.Text(value), kind == DriftKind.SpecificConductance ? "above 0 µS/cm" : "a number", "Read it again, in the water, when it is steady.");
            }
        }

        return null;
    }
}
