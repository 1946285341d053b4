using System.Runtime.CompilerServices;

namespace Evenwater.Core.Quantities;

/// <summary>The one check behind every factory: a number inside its range, or an error that names the range.</summary>
internal static class Bounds
{
    /// <summary><paramref name="value"/> itself when it lies within the range; NaN never does.</summary>
    public static double Check(double value, double min, double max, string unit, [CallerArgumentExpression(nameof(value))] string name = "")
        => value >= min && value <= max
            ? value
            : throw new ArgumentOutOfRangeException(name, value, $"Allowed: {min} to {max} {unit}.");
}
