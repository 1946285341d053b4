namespace Evenwater.Core.Calibration;

/// <summary>A calibrated conductivity cell: µS/cm at the water's own temperature = offset + constant × conductance in µS.</summary>
/// <param name="PerCm">Cell constant, 1/cm.</param>
/// <param name="PerCmSd">1-sigma of it, 1/cm.</param>
public sealed record CellConstant(double PerCm, double PerCmSd)
{
    /// <summary>Conductivity that the line has where nothing is conducted, µS/cm; 0 with one standard, and where two show none that stands out of its spread.</summary>
    public double OffsetMicrosiemensPerCm { get; init; }

    /// <summary>1-sigma of the offset, µS/cm; 0 where the offset is left out.</summary>
    public double OffsetSdMicrosiemensPerCm { get; init; }
}
