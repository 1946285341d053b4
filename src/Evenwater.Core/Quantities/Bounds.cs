using System.Runtime.CompilerServices;

namespace Evenwater.Core.Quantities;

/// <summary>The one check behind every factory: a number inside its range, or an error that names the range.</summary>
internal static class Bounds
{
    /// <summary><paramref name="value"/> itself when it lies within the range; NaN never does.</summary>
    public static double Check(double value, double min, double max, string unit, [CallerArgumentExpression(nameof(value))] string name = "")
        => value >= min && value <= max
            ? value
            : throw new ArgumentOutOfRangeException(name, value, $"Allowed: {Range(min, max)} {unit}.");

    /// <summary>In words where an end is one of the type and none of the quantity.</summary>
    private static string Range(double min, double max) => (min == double.Epsilon, max >= double.MaxValue) switch
    {
        (false, false) => $"{min} to {max}",
        (true, false) => $"above 0, to {max}",
        (false, true) => $"{min} or more",
        (true, true) => "above 0",
    };
}
