namespace Evenwater.Hardware.Rig;

/// <summary>A cup that a person puts probes into: a standard, ice, or anything else.</summary>
/// <param name="MicrosiemensPerCm">Conductivity of what is in it, at its own temperature.</param>
/// <param name="Celsius">That temperature.</param>
public readonly record struct SimulatedCup(double MicrosiemensPerCm, double Celsius);
