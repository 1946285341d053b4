namespace Evenwater.Hardware.Rig;

/// <summary>What is wrong with one conductivity probe.</summary>
/// <param name="Stuck">Its output hangs.</param>
/// <param name="Open">Its cell is unplugged.</param>
/// <param name="NoiseFactor">1, or more when it is noisy.</param>
/// <param name="Gain">1, or less when it fouls or dries.</param>
internal readonly record struct ProbeTrouble(bool Stuck, bool Open, double NoiseFactor, double Gain)
{
    private const double NoisyFactor = 15;
    private const double FoulingPerHour = 0.03;
    private const double DryingSeconds = 30;

    /// <summary>A probe that is well.</summary>
    public static ProbeTrouble None => new(false, false, 1, 1);

    /// <summary>What the faults make of the vessel's probe.</summary>
    public static ProbeTrouble OfVessel(Faults faults, double seconds) => new(
        faults.IsOn(FaultKind.StuckProbe, seconds),
        faults.IsOn(FaultKind.OpenProbe, seconds),
        faults.IsOn(FaultKind.NoisyProbe, seconds) ? NoisyFactor : 1,
        Math.Exp(-(FoulingPerHour / 3600 * faults.SecondsOn(FaultKind.DriftingProbe, seconds)) - (faults.SecondsOn(FaultKind.DryProbe, seconds) / DryingSeconds)));
}
