namespace Evenwater.Running;

/// <summary>When a probe's calibration is due again.</summary>
/// <param name="Probe">Which, such as vessel-conductivity.</param>
/// <param name="At">When it was made.</param>
/// <param name="Due">When the next is due.</param>
/// <param name="Checked">Whether it was only looked how far the probe had drifted.</param>
internal sealed record CalibrationDue(string Probe, DateTimeOffset At, DateTimeOffset Due, bool Checked);
