namespace Evenwater.Page.Opening;

/// <summary>What a run that begins now would take from the station file and the probes.</summary>
/// <param name="StartVolumeLitres">The water in the vessel as the station file says, L.</param>
/// <param name="StartVolumeSdLitres">1-sigma of it, L.</param>
/// <param name="MostStartLitres">A run begins with less than this, L.</param>
/// <param name="FlowMillilitresPerMinute">The drip as the station file says, mL/min; null when it does not.</param>
/// <param name="Tank">What the probe in the tank reads; null where there is none, and the tank has to be measured.</param>
public sealed record Beginning(double StartVolumeLitres, double StartVolumeSdLitres, double MostStartLitres, double? FlowMillilitresPerMinute, ValueLine? Tank);
