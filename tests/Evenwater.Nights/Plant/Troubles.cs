namespace Evenwater.Nights.Plant;

/// <summary>The flow is multiplied by a factor, growing evenly in its logarithm over a while.</summary>
public readonly record struct FlowChange(double AtSeconds, double Factor, double OverSeconds);

/// <summary>The tank's own water goes to another conductivity and temperature, evenly over a while (a water change, a top-up).</summary>
public readonly record struct TankChange(double AtSeconds, double Factor, double Celsius, double OverSeconds);

/// <summary>No rows are recorded; when the valve closes without power, nothing flows.</summary>
public readonly record struct Gap(double FromSeconds, double ToSeconds);

/// <summary>What may be wrong with a conductivity probe.</summary>
public enum ProbeFault
{
    /// <summary>The same reading again and again.</summary>
    Stuck,

    /// <summary>No reading.</summary>
    Open,

    /// <summary>Readings scattered over a factor.</summary>
    Burst,

    /// <summary>Its gain runs away.</summary>
    Drift,

    /// <summary>It hangs in the air.</summary>
    Dry,
}

/// <summary>One fault of one probe. Size: of a drift, the ln of gain per hour; of a burst, the sd of the ln.</summary>
public readonly record struct ProbeTrouble(ProbeFault Fault, double FromSeconds, double ToSeconds, double Size);

/// <summary>What a probe reads is off by this, in ln, for a while: an air bubble on its electrodes, or somebody has hung it elsewhere.</summary>
public readonly record struct ProbeShift(double FromSeconds, double ToSeconds, double Ln);

/// <summary>A float that stays as it is told from a moment on.</summary>
public readonly record struct FloatTrouble(bool Wet, double FromSeconds);
