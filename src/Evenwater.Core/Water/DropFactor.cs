using Evenwater.Core.Quantities;

namespace Evenwater.Core.Water;

/// <summary>
/// Drops and volumes. ISO 8536-4:2020, 7.8: 20 drops, or 60, of distilled water at 23 ± 2 °C and 50 ± 10 drops a minute are 1 ± 0.1 mL. So counting drops is
/// good to 10 % with a set that meets the standard, and not even that outside those conditions: salt, rate and wear change a drop. Calibrate by volume.
/// </summary>
public static class DropFactor
{
    /// <summary>What 1 mL may be off by (ISO 8536-4, 7.8).</summary>
    internal const double Tolerance = 0.1;

    /// <summary>Whether the standard's tolerance was ever promised under these conditions: 40 to 60 drops a minute, 21 to 25 °C.</summary>
    public static bool IsInRange(double dropsPerMinute, double celsius) => dropsPerMinute is >= 40 and <= 60 && celsius is >= 21 and <= 25;

    /// <summary>mL/min of a counted drip, and a tenth less and more.</summary>
    /// <param name="dropsPerMinute">0 to 600.</param>
    /// <param name="dropsPerMillilitre">5 to 100; sets are made for 10, 15, 20 and 60 (from memory).</param>
    public static Doubtful MillilitresPerMinute(double dropsPerMinute, double dropsPerMillilitre)
        => Doubtful.ByShare(Bounds.Check(dropsPerMinute, 0, 600, "drops/min") / Bounds.Check(dropsPerMillilitre, 5, 100, "drops/mL"), Tolerance);

    /// <summary>Drops a minute to count for a wanted rate.</summary>
    /// <param name="millilitresPerMinute">0 to 100 mL/min.</param>
    /// <param name="dropsPerMillilitre">5 to 100.</param>
    public static double DropsPerMinute(double millilitresPerMinute, double dropsPerMillilitre)
        => Bounds.Check(millilitresPerMinute, 0, 100, "mL/min") * Bounds.Check(dropsPerMillilitre, 5, 100, "drops/mL");
}
