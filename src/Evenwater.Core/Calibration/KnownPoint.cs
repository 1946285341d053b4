namespace Evenwater.Core.Calibration;

/// <summary>What a device gave at a known amount.</summary>
/// <param name="Known">The amount, in the unit that the calibration says; each measured by itself from the same zero.</param>
/// <param name="Device">The device's mean while it was steady, in the unit that the calibration says.</param>
public readonly record struct KnownPoint(double Known, double Device);
